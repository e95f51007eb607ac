//! From what a person typed into a form to what is written down, with everything that is wrong told at once.

mod amount;
mod answers;
mod finding;
mod marking;
mod promise;
mod visit;
mod work;

pub use amount::{hours, money};
pub use answers::answers;
pub use finding::{AtCheck, SLIP, overrule};
pub use marking::{PART, TypedMarking, marking};
pub use promise::{long_job, long_job_settled, tag, tag_settled};
pub use visit::{close, visit};
pub use work::{done, met, waived};

/// Something wrong with one field of a form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FormProblem {
    /// The field's name in the form.
    pub field: &'static str,
    /// What is wrong and what would be right.
    pub says: String,
}

/// What a form became, or everything wrong with it.
pub type FromForm<T> = Result<T, Vec<FormProblem>>;

fn problem(field: &'static str, says: impl Into<String>) -> FormProblem {
    FormProblem { field, says: says.into() }
}

/// Text that was typed; `None` when blank.
pub fn typed(text: &str) -> Option<String> {
    let text = text.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

/// So many months, in years; the field is `months`.
fn in_months(text: &str) -> Result<Option<f64>, FormProblem> {
    match typed(text).map(|months| months.replace(',', ".").parse::<f64>()) {
        None => Ok(None),
        Some(Ok(months)) if months > 0.0 && months <= 240.0 => Ok(Some(months / 12.0)),
        Some(_) => Err(problem("months", "Write months as a number, such as 12.")),
    }
}

/// The first of these ids that is free; they are counted from one.
fn free_id(base: impl Fn(usize) -> String, taken: impl Fn(&str) -> bool) -> String {
    let mut n = 1;
    while taken(&base(n)) {
        n += 1;
    }
    base(n)
}
