//! What the command line takes.

use clap::{Args, Parser, Subcommand, ValueEnum};
use jiff::civil::Date;
use sheet::{Criticality, OperationId};
use std::{net::SocketAddr, path::PathBuf};

/// The condition book of a specialist workshop for ageing performance cars.
///
/// It keeps what was seen and measured, computes what it means and when it will matter, chooses what is worth doing now,
/// later or never, tells the owner, and sees the car out. It does not inspect: a person who has looked decides and signs.
#[derive(Debug, Parser)]
#[command(version, max_term_width = 100)]
pub struct Arguments {
    #[command(subcommand)]
    pub command: Command,
}

#[derive(Debug, Subcommand)]
pub enum Command {
    /// Build a book from the invented demonstration and serve it
    Demo(Demo),
    /// Serve the pages of a book
    Serve(Serve),
    /// Write files of a workshop, its cars and visits into a book
    Record(Record),
    /// Check data sheets and add them to a book
    #[command(subcommand)]
    Sheet(SheetCommand),
    /// Look after a book
    #[command(subcommand)]
    Book(BookCommand),
    /// List the cars of a book
    Cars(Cars),
    /// What is known of a car and what it means
    Assess(OfCar),
    /// What may be behind what was found on a car, and what to look at next
    Explain(Explain),
    /// What is worth doing now, next time, or not at all
    Plan(Plan),
    /// Hours that planned visits ask for, week by week
    Calendar(Calendar),
    /// Write the letter to a car's owner
    Letter(Letter),
    /// Judge one reading against a limit
    Judge(Judge),
    /// Work out a formula of the bench
    Calc(Calc),
    /// Where the uncertainty of a formula's result comes from
    Uncertainty(Uncertainty),
    /// Learn how long parts last, or how fast they wear, from a file of records
    #[command(subcommand)]
    Fit(FitCommand),
}

#[derive(Debug, Args)]
pub struct Demo {
    /// Folder of the demonstration's book
    #[arg(long, value_name = "DIR", default_value = "demo-book")]
    pub book: PathBuf,
    /// Address to serve at; port 0 takes any free one
    #[arg(long, value_name = "ADDR", default_value = "127.0.0.1:7690")]
    pub listen: SocketAddr,
    /// Build the book and stop
    #[arg(long)]
    pub no_serve: bool,
    /// Throw the demonstration's book away first
    #[arg(long)]
    pub fresh: bool,
}

#[derive(Debug, Args)]
pub struct Serve {
    #[command(flatten)]
    pub book: BookAt,
    /// Address to serve at; port 0 takes any free one
    #[arg(long, value_name = "ADDR", default_value = "127.0.0.1:7690")]
    pub listen: SocketAddr,
    #[command(flatten)]
    pub today: Today,
}

#[derive(Debug, Args)]
pub struct Record {
    #[command(flatten)]
    pub book: BookAt,
    /// Files in TOML, in any order; see docs/visits.md
    #[arg(required = true, value_name = "FILE")]
    pub files: Vec<PathBuf>,
    #[command(flatten)]
    pub output: Output,
}

#[derive(Debug, Subcommand)]
pub enum SheetCommand {
    /// Name everything that is wrong with a data sheet
    Check(SheetCheck),
    /// Begin a data sheet: a small one that is in order, with comments
    New(SheetNew),
    /// Read a data sheet back in plain words
    Show(SheetShow),
    /// What is different between two data sheets, and what it means for the cars of a book
    Diff(SheetDiff),
    /// The JSON Schema of a data sheet's files, for editors
    Schema(SheetSchema),
    /// Add a data sheet to a book, or its new revision
    Add(SheetAdd),
}

#[derive(Debug, Args)]
pub struct SheetCheck {
    /// Folder of the data sheet
    pub dir: PathBuf,
    #[command(flatten)]
    pub output: Output,
}

#[derive(Debug, Args)]
pub struct SheetNew {
    /// Folder to begin it in; made if there is none
    pub dir: PathBuf,
    /// What people call the type of car; the name of the folder unless said
    #[arg(long)]
    pub title: Option<String>,
    /// Begin a layer over the sheet in this folder, seen from DIR
    #[arg(long, value_name = "DIR")]
    pub over: Option<String>,
    #[command(flatten)]
    pub output: Output,
}

#[derive(Debug, Args)]
pub struct SheetShow {
    /// Folder of the data sheet
    pub dir: PathBuf,
    /// What to show, such as front-disc or check.front-disc-thickness; a list of everything unless said
    pub id: Option<String>,
    #[command(flatten)]
    pub output: Output,
}

#[derive(Debug, Args)]
pub struct SheetDiff {
    /// Folder of the data sheet as it was
    pub before: PathBuf,
    /// Folder of the data sheet as it is to be
    pub after: PathBuf,
    /// Folder of a book: which verdicts on its cars would change
    #[arg(long, value_name = "DIR")]
    pub book: Option<PathBuf>,
    #[command(flatten)]
    pub output: Output,
    #[command(flatten)]
    pub today: Today,
}

#[derive(Debug, Args)]
pub struct SheetSchema {
    /// For the files of a layer, which say only what is different
    #[arg(long)]
    pub layer: bool,
}

#[derive(Debug, Args)]
pub struct SheetAdd {
    /// Folder of the data sheet
    pub dir: PathBuf,
    /// Folder of the book; made if there is none
    #[arg(long, value_name = "DIR")]
    pub book: PathBuf,
    /// Who adds it, as a person's id
    #[arg(long, value_name = "PERSON", default_value = "workshop")]
    pub by: String,
    #[command(flatten)]
    pub output: Output,
}

#[derive(Debug, Subcommand)]
pub enum BookCommand {
    /// Throw away all rows that lists read, and draw them again from the journal
    Redraw(OfBook),
    /// See that the journal is whole and unaltered
    Verify(OfBook),
}

#[derive(Debug, Args)]
pub struct OfBook {
    #[command(flatten)]
    pub book: BookAt,
    #[command(flatten)]
    pub output: Output,
}

#[derive(Debug, Args)]
pub struct Cars {
    #[command(flatten)]
    pub book: BookAt,
    #[command(flatten)]
    pub output: Output,
    #[command(flatten)]
    pub today: Today,
}

#[derive(Debug, Args)]
pub struct OfCar {
    /// The car, by its id
    pub car: String,
    #[command(flatten)]
    pub book: BookAt,
    #[command(flatten)]
    pub output: Output,
    #[command(flatten)]
    pub today: Today,
}

#[derive(Debug, Args)]
pub struct Explain {
    #[command(flatten)]
    pub of: OfCar,
    /// Also the questions that nothing raises, where any finding bears on them
    #[arg(long)]
    pub all: bool,
}

#[derive(Debug, Args)]
pub struct Plan {
    /// The car, by its id
    #[arg(required_unless_present = "instance")]
    pub car: Option<String>,
    /// Folder of the book
    #[arg(long = "book", value_name = "DIR", env = "WITNESSMARK_BOOK", required_unless_present = "instance")]
    pub folder: Option<PathBuf>,
    #[command(flatten)]
    pub output: Output,
    #[command(flatten)]
    pub today: Today,
    /// Money that may be spent now
    #[arg(long, value_name = "MONEY", allow_negative_numbers = true)]
    pub budget: Option<String>,
    /// Hours that there are now
    #[arg(long, value_name = "HOURS", allow_negative_numbers = true)]
    pub hours: Option<String>,
    /// An operation that is to be done now
    #[arg(long, value_name = "OPERATION", value_parser = operation)]
    pub must: Vec<OperationId>,
    /// An operation that is not to be done now
    #[arg(long, value_name = "OPERATION", value_parser = operation)]
    pub not: Vec<OperationId>,
    /// A part that is not in hand: what needs it is not done now
    #[arg(long, value_name = "PART")]
    pub lacking: Vec<String>,
    /// The day on which the owner parts with the car; kept for good unless said
    #[arg(long, value_name = "DATE")]
    pub horizon: Option<Date>,
    /// The day of the next visit; as forecast unless said
    #[arg(long, value_name = "DATE")]
    pub at: Option<Date>,
    /// Money for an hour of work; the workshop's own rate unless said
    #[arg(long, value_name = "MONEY", allow_negative_numbers = true)]
    pub rate: Option<String>,
    /// Plan what a file asks instead of a car; see docs/methods/planning.md
    #[arg(
        long,
        value_name = "FILE.json",
        conflicts_with_all = ["car", "today", "budget", "hours", "must", "not", "lacking", "horizon", "at", "rate"]
    )]
    pub instance: Option<PathBuf>,
}

#[derive(Debug, Args)]
pub struct Calendar {
    #[command(flatten)]
    pub book: BookAt,
    /// How many weeks, from this one on
    #[arg(long, value_name = "N", default_value_t = 13)]
    pub weeks: usize,
    #[command(flatten)]
    pub output: Output,
    #[command(flatten)]
    pub today: Today,
}

#[derive(Debug, Args)]
pub struct Letter {
    #[command(flatten)]
    pub of: OfCar,
    /// File to write the letter to
    #[arg(long, value_name = "FILE")]
    pub html: PathBuf,
}

#[derive(Debug, Args)]
pub struct Judge {
    /// The limit: "min 23.0 mm", "max 0.10 mm" or "23.0..25.0 mm"
    #[arg(long, value_name = "LIMIT")]
    pub limit: String,
    /// A value as read, with its unit; several are repeats of one reading
    #[arg(long = "reading", value_name = "QUANTITY", required = true)]
    pub readings: Vec<String>,
    /// Smallest step that the instrument shows
    #[arg(long, value_name = "QUANTITY")]
    pub resolution: Option<String>,
    /// Standard uncertainty of the instrument's calibration
    #[arg(long, value_name = "QUANTITY")]
    pub calibration_u: Option<String>,
    /// What is known beforehand: mean and standard deviation, such as "23.5 mm ± 0.3 mm"
    #[arg(long, value_name = "QUANTITY")]
    pub prior: Option<String>,
    /// Print where the uncertainty comes from
    #[arg(long)]
    pub budget: bool,
    /// What is at stake
    #[arg(long, value_enum, default_value_t = Stake::Safety)]
    pub criticality: Stake,
    #[command(flatten)]
    pub output: Output,
    #[command(flatten)]
    pub today: Today,
}

#[derive(Debug, Args)]
pub struct Calc {
    /// The formula, by its id; `list` names them all, or those that speak of the words behind it
    #[arg(value_name = "FORMULA")]
    pub formula: String,
    /// What it is given: key="25.4 mm" or key="25.4 ± 0.1 mm"; several values as key="1; 2; 3 mm" or key=@FILE.csv
    #[arg(value_name = "KEY=VALUE")]
    pub given: Vec<String>,
    #[command(flatten)]
    pub output: Output,
}

#[derive(Debug, Args)]
pub struct Uncertainty {
    /// The formula, by its id; see `calc list`
    #[arg(value_name = "FORMULA")]
    pub formula: String,
    /// What it is given: key="12.70 ± 0.02 mm", and behind it (k=2), (dof=8), (rectangular), (triangular) or (arcsine)
    #[arg(value_name = "KEY=VALUE")]
    pub given: Vec<String>,
    /// The probability of the interval to print
    #[arg(long, value_name = "PROBABILITY", default_value_t = 0.95)]
    pub coverage: f64,
    /// Draw the whole distribution so many times beside it, always in the same way
    #[arg(long, value_name = "TRIALS", num_args = 0..=1, default_missing_value = "100000", value_parser = trials)]
    pub monte_carlo: Option<usize>,
    #[command(flatten)]
    pub output: Output,
}

#[derive(Debug, Subcommand)]
pub enum FitCommand {
    /// How long such parts last: Weibull or lognormal, from what was seen good and bad
    Life(FitLife),
    /// How fast such parts wear, and when each reaches its limit
    Wear(FitWear),
}

#[derive(Debug, Args)]
pub struct FitLife {
    /// Columns lower,upper,entry,count: last seen good, first seen bad, when watching began, how many. No lower: bad at the
    /// first look; no upper: still good; both equal: known to the moment
    #[arg(value_name = "FILE.csv")]
    pub file: PathBuf,
    /// The law; the better one unless said
    #[arg(long, value_enum)]
    pub model: Option<LawName>,
    /// Half are gone by then, as far as is known beforehand
    #[arg(long, value_name = "QUANTITY", requires = "prior_spread")]
    pub prior_median: Option<String>,
    /// Nine in ten go between median ÷ spread and median × spread
    #[arg(long, value_name = "FACTOR", requires = "prior_median")]
    pub prior_spread: Option<f64>,
    /// Two clocks: columns lower_km,upper_km,lower_years,upper_years,entry_km,entry_years,count
    #[arg(long)]
    pub clocks: bool,
    /// With --clocks: the share of distance in the ageing that is believed beforehand
    #[arg(long, value_name = "SHARE", default_value_t = 0.5)]
    pub km_share: f64,
    /// With --clocks: the distance that ages a part as much as a year does
    #[arg(long, value_name = "KM", default_value_t = crate::commands::fit::KM_PER_YEAR)]
    pub km_per_year: f64,
    #[command(flatten)]
    pub output: Output,
}

#[derive(Debug, Args)]
pub struct FitWear {
    /// Columns unit,clock,value,u: which part, its clock since new, the reading, its standard uncertainty
    #[arg(value_name = "FILE.csv")]
    pub file: PathBuf,
    /// The limit: "max 2.6 mm" or "min 23.0 mm"
    #[arg(long, value_name = "LIMIT")]
    pub limit: String,
    /// The value of a new part, if it is known
    #[arg(long, value_name = "QUANTITY")]
    pub new: Option<String>,
    #[command(flatten)]
    pub output: Output,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum LawName {
    Weibull,
    Lognormal,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum Stake {
    Comfort,
    Stranded,
    EngineLoss,
    Safety,
}

impl From<Stake> for Criticality {
    fn from(stake: Stake) -> Self {
        match stake {
            Stake::Comfort => Self::Comfort,
            Stake::Stranded => Self::Stranded,
            Stake::EngineLoss => Self::EngineLoss,
            Stake::Safety => Self::Safety,
        }
    }
}

#[derive(Debug, Args)]
pub struct BookAt {
    /// Folder of the book
    #[arg(long = "book", value_name = "DIR", env = "WITNESSMARK_BOOK")]
    pub folder: PathBuf,
}

#[derive(Debug, Args)]
pub struct Output {
    /// Answer in JSON
    #[arg(long)]
    pub json: bool,
}

#[derive(Debug, Args)]
pub struct Today {
    /// The day to judge and forecast from, such as 2026-05-18; today unless said
    #[arg(long, value_name = "DATE")]
    pub today: Option<Date>,
}

impl Today {
    /// The clock that this asks for.
    pub fn clock(&self) -> book::Clock {
        self.today.map_or_else(book::Clock::of_the_machine, book::Clock::on)
    }
}

impl Arguments {
    /// Whether errors are to be told in JSON too.
    pub fn json(&self) -> bool {
        match &self.command {
            Command::Demo(_) | Command::Serve(_) => false,
            Command::Record(of) => of.output.json,
            Command::Sheet(SheetCommand::Check(of)) => of.output.json,
            Command::Sheet(SheetCommand::Add(of)) => of.output.json,
            Command::Sheet(SheetCommand::New(of)) => of.output.json,
            Command::Sheet(SheetCommand::Show(of)) => of.output.json,
            Command::Sheet(SheetCommand::Diff(of)) => of.output.json,
            Command::Sheet(SheetCommand::Schema(_)) => false,
            Command::Book(BookCommand::Redraw(of) | BookCommand::Verify(of)) => of.output.json,
            Command::Cars(of) => of.output.json,
            Command::Assess(of) => of.output.json,
            Command::Explain(of) => of.of.output.json,
            Command::Plan(of) => of.output.json,
            Command::Calendar(of) => of.output.json,
            Command::Letter(of) => of.of.output.json,
            Command::Judge(of) => of.output.json,
            Command::Calc(of) => of.output.json,
            Command::Uncertainty(of) => of.output.json,
            Command::Fit(FitCommand::Life(of)) => of.output.json,
            Command::Fit(FitCommand::Wear(of)) => of.output.json,
        }
    }
}

fn operation(text: &str) -> Result<OperationId, std::convert::Infallible> {
    Ok(text.into())
}

/// Fewer trials show nothing, more take longer than anybody waits.
fn trials(text: &str) -> Result<usize, String> {
    match text.parse() {
        Ok(count @ 1_000..=10_000_000) => Ok(count),
        _ => Err("write a number from 1000 to 10000000".into()),
    }
}
