//! From files to the checked model.

mod chain;
mod check;
mod component;
mod consequence;
mod derived;
mod doubts;
mod explanation;
mod fastener;
mod fluid;
mod instrument;
mod interval;
pub(crate) mod lay;
pub(crate) mod layers;
mod obligation;
mod only;
mod owner;
mod part;
mod photo;
mod places;
mod question;
mod reading;
mod scale;
mod scheme;
mod sections;
mod states;
mod stations;
mod while_apart;
mod work;

use crate::{
    Problems, SheetFault, SourceFile,
    diagnostic::{Location, Problem, Span},
    ids::*,
    model::*,
    table::{self, TableFault},
};
use quantity::{Kind, Unit};
use sections::Sections;
use sha2::{Digest, Sha256};
use std::path::Path;

type Reader = table::Reader<SheetFault>;
type Table<'a> = table::Table<'a, SheetFault>;
type Value<'a> = table::Value<'a, SheetFault>;

/// Reads a data sheet from its files, whatever order they are handed in: they count in the order of their names.
///
/// # Errors
/// Everything for which the sheet cannot be used, in any of them.
pub fn read(files: &[SourceFile]) -> Result<Sheet, Problems> {
    read_some(files, Vec::new(), Care::ToUse)
}

/// Reads a data sheet and looks it through: the same, and what does not come together although it can be read.
///
/// # Errors
/// Everything that is wrong in any of the files.
pub fn check(files: &[SourceFile]) -> Result<Sheet, Problems> {
    read_some(files, Vec::new(), Care::ToWrite(None))
}

/// How closely a sheet is looked at.
#[derive(Clone, Copy)]
pub(crate) enum Care<'a> {
    /// Whatever it is that it says, it can be used.
    ToUse,
    /// Everything that its writer wants to know; the photos that it names lie in this folder, where one is given.
    ToWrite(Option<&'a Path>),
}

/// A data sheet looked through.
#[derive(Debug)]
pub struct LookedThrough {
    /// What it says; `None` where something is wrong for which it cannot be used.
    pub sheet: Option<Sheet>,
    /// Everything that is wrong and everything that does not come together, in the order of the files.
    pub problems: Vec<Problem<SheetFault>>,
}

/// Reads a data sheet and looks it through, for those who show what is wrong beside what can be used in spite of it.
pub fn look_through(files: &[SourceFile]) -> LookedThrough {
    let (problems, sheet) = look(files, Vec::new(), Care::ToWrite(None));
    let usable = problems.iter().all(|problem| problem.fault.is_a_doubt());
    LookedThrough { sheet: sheet.filter(|_| usable), problems }
}

/// Reads a sheet of which some files may be missing; what is wrong with those is told first.
pub(crate) fn read_some(
    files: &[SourceFile],
    missing: Vec<Problem<SheetFault>>,
    care: Care<'_>,
) -> Result<Sheet, Problems> {
    let (problems, sheet) = look(files, missing, care);
    match (Problems::new(problems), sheet) {
        (Some(problems), _) => Err(problems),
        (None, Some(sheet)) => Ok(sheet),
        // What is not whole has a problem, so this cannot be.
        (None, None) => {
            Err(Problem { fault: SheetFault::NoSheet, at: Location::whole("*.toml"), second: None }.into())
        }
    }
}

fn look(
    files: &[SourceFile],
    missing: Vec<Problem<SheetFault>>,
    care: Care<'_>,
) -> (Vec<Problem<SheetFault>>, Option<Sheet>) {
    let mut files: Vec<&SourceFile> = files.iter().collect();
    files.sort_by(|a, b| a.name.cmp(&b.name));
    let revision = revision(&files);
    let files = layers::in_layers(&files);
    let reader = Reader::new(files.iter().map(|(_, file)| *file));
    let sheet = sheet(&reader, &files, revision, care);
    let incomplete = !missing.is_empty();
    (missing.into_iter().chain(reader.into_problems(incomplete)).collect(), sheet)
}

/// SHA-256 over names and texts. Each is preceded by its length, so that no text can pass for a name.
fn revision(files: &[&SourceFile]) -> String {
    let mut hash = Sha256::new();
    for part in files.iter().flat_map(|file| [&file.name, &file.text]) {
        hash.update((part.len() as u64).to_be_bytes());
        hash.update(part);
    }
    hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The whole sheet: every section is read, whatever is wrong with the others, and then what lies between them.
fn sheet(reader: &Reader, files: &[(usize, &SourceFile)], revision: String, care: Care<'_>) -> Option<Sheet> {
    let mut documents = reader.documents();
    let ranks: Vec<usize> = files.iter().map(|(layer, _)| *layer).collect();
    lay::lay(&mut documents, &ranks, reader);
    let roots: Vec<Table<'_>> = documents.iter().map(|document| document.root("the sheet", reader)).collect();
    let start = Span { file: 0, bytes: 0..0 };
    if roots.is_empty() {
        reader.fault(SheetFault::NoFiles, start);
        return None;
    }

    let is_there = layers::report(reader, &roots, files);
    let head = head(reader, &roots, is_there);
    let sections = Sections::gather(reader, &roots);
    roots.into_iter().for_each(Table::end);
    if sections.checks.is_empty() && is_there {
        reader.fault(SheetFault::NoChecks, start);
    }

    let systems =
        sections.systems.read(|v| v.table(|t| Some(System { title: t.need("title", Value::text)? })));
    let places = places::places(&sections);
    let stations = stations::stations(&sections, &places);
    let components = sections.components.read(|v| component::component(v, &sections, &places));
    let instruments = sections.instruments.read(instrument::instrument);
    let fluids = sections.fluids.read(|v| fluid::fluid(v, &sections));
    let fasteners = sections.fasteners.read(|v| fastener::fastener(v, &sections));
    let parts = part::parts(&sections, &components);
    let access = sections.access.read(|v| work::access(v, &sections));
    let operations = sections.operations.read(|v| work::operation(v, &sections, &fluids));
    let obligations = sections.obligations.read(obligation::obligation);
    let consequences = sections.consequences.read(|v| consequence::consequence(v, &sections));
    let while_apart = sections.while_apart.read(|v| while_apart::while_apart(v, &sections));
    let look_alikes = sections.look_alikes.read(|v| owner::look_alike(v, &sections));
    let glossary = sections.glossary.read(owner::word);

    let mut links = Vec::new();
    let checks = check::checks(reader, &sections, &components, &stations, &instruments, &mut links);
    let questions = sections.questions.read(|v| question::question(v, &sections, &checks));
    let explanations =
        explanation::explanations(reader, &sections, &components, &checks, &questions, &mut links);
    derived::settle(links, &checks, &components, reader);
    sections.report_cycles(reader);

    let photos = sections.photos.take();
    let Head { id, title, says, currency, yearly_use, refit, work_hours } = head?;
    let sheet = Sheet {
        id,
        revision,
        title,
        says,
        currency,
        yearly_use,
        refit,
        work_hours,
        variants: sections.known_variants.clone(),
        systems,
        places: places.titles,
        stations,
        components,
        checks,
        instruments,
        fluids,
        fasteners,
        parts,
        access,
        operations,
        obligations,
        consequences,
        while_apart,
        questions,
        explanations,
        look_alikes,
        glossary,
    };
    if let Care::ToWrite(folder) = care {
        doubts::doubts(&sheet, &sections, reader);
        for (file, at) in photos {
            let beside = files.get(at.file).and_then(|(_, named)| Path::new(&named.name).parent());
            let is_there = |folder: &Path| folder.join(beside.unwrap_or(Path::new(""))).join(&file).is_file();
            if folder.is_some_and(|folder| !is_there(folder)) {
                reader.fault(SheetFault::NoPhoto { file }, at);
            }
        }
    }
    Some(sheet)
}

/// The table `[sheet]`.
struct Head {
    id: SheetId,
    title: String,
    says: Option<String>,
    currency: String,
    yearly_use: YearlyUse,
    refit: f64,
    work_hours: Option<WorkHours>,
}

/// `is_there` says that nothing is missing that should have been handed in.
fn head(reader: &Reader, roots: &[Table<'_>], is_there: bool) -> Option<Head> {
    let mut tables = roots.iter().filter_map(|root| root.get("sheet"));
    let Some(first) = tables.next() else {
        if is_there {
            reader.fault(SheetFault::NoSheet, Span { file: 0, bytes: 0..0 });
        }
        return None;
    };
    tables.for_each(|again| {
        again.fault_between(TableFault::Duplicate { what: "`[sheet]`".into() }, first.span())
    });
    first.named("the sheet").table(|t| {
        let id = t.need("id", Value::id);
        let title = t.need("title", Value::text);
        let says = t.may("says", Value::text);
        let currency = t.need("currency", currency);
        let yearly_use = t.need("yearly-use", yearly_use);
        let refit = t.need("refit", Value::not_negative);
        let work_hours = t.may("work-hours", work_hours);
        Some(Head {
            id: id?,
            title: title?,
            says,
            currency: currency?,
            yearly_use: yearly_use?,
            refit: refit?,
            work_hours,
        })
    })
}

fn yearly_use(value: Value<'_>) -> Option<YearlyUse> {
    value.table(|t| {
        let mean_km = t.need("mean", |v| v.amount_in(Unit::KM_PER_YEAR));
        let variation =
            t.need("variation", |v| v.number_that(|share| share > 0.0, "more than 0, such as 0.5"));
        let source = source(t);
        Some(YearlyUse { mean_km: mean_km?, variation: variation?, source: source? })
    })
}

fn work_hours(value: Value<'_>) -> Option<WorkHours> {
    value.table(|t| {
        let spread = t.need("spread", |v| v.number_that(|spread| spread > 1.0, "more than 1, such as 1.3"));
        let source = source(t);
        Some(WorkHours { spread: spread?, source: source? })
    })
}

fn currency(value: Value<'_>) -> Option<String> {
    let found = value.str()?;
    if found.len() == 3 && found.bytes().all(|letter| letter.is_ascii_uppercase()) {
        return Some(found.to_owned());
    }
    value.fault(SheetFault::Currency { found: table::shortened(found) });
    None
}

/// Where a number comes from; nothing on a sheet counts without it.
fn source(t: &Table<'_>) -> Option<String> {
    match t.get("source") {
        Some(value) => value.text(),
        None => {
            t.fault(SheetFault::NoSource { of: t.name().to_string() });
            None
        }
    }
}

/// When something falls due: by distance, by time, or at an event.
fn trigger(value: Value<'_>) -> Option<Trigger> {
    value.table(|t| {
        let (km, years) = (t.may("km", plain_km), t.may("years", plain_years));
        let event = t.may("event", Value::text);
        needs_one_of(t, &["km", "years", "event"]);
        Some(Trigger { km, years, event })
    })
}

/// A distance to go, in km.
fn km(value: Value<'_>) -> Option<f64> {
    value.positive_in(Unit::KM)
}

/// A time to go, in years.
fn years(value: Value<'_>) -> Option<f64> {
    value.positive_in(Unit::YEAR)
}

/// The same as a plain number of km, too.
fn plain_km(value: Value<'_>) -> Option<f64> {
    value.plain_or_in(Unit::KM)
}

/// The same as a plain number of years, too.
fn plain_years(value: Value<'_>) -> Option<f64> {
    value.plain_or_in(Unit::YEAR)
}

/// Records that a table has none of these keys.
fn needs_one_of(t: &Table<'_>, keys: &'static [&'static str]) {
    if keys.iter().all(|key| t.get(key).is_none()) {
        t.fault(SheetFault::Neither { of: t.name().to_string(), keys });
    }
}

/// What can be filled, drained or used up.
const OF_FLUIDS: [Kind; 2] = [Kind::Volume, Kind::Mass];
