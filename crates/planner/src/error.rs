//! Why there is no plan.

use crate::problem::Problem;
use crate::rule::Rule;

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PlanError {
    /// The instance cannot be read as a question; everything wrong with it is listed.
    #[error("the instance has {} problem(s): {}", .0.len(), joined(.0))]
    Invalid(Vec<Problem>),
    /// No plan keeps all the rules; `clash` holds as few rules as cannot be kept together, empty when the search for
    /// them was cut short.
    #[error("no plan keeps all the rules: {}", joined(clash))]
    Infeasible { clash: Vec<Rule> },
    /// The limits on the work were met before any plan was found.
    #[error("no plan was found within {nodes} nodes; none costs less than {bound}")]
    CutShort { nodes: u64, bound: f64 },
    /// The search came up with a plan that breaks rules, which is a fault in this library.
    #[error(
        "the search came up with a plan that breaks rules, which is a fault in the planner: {}",
        joined(broken)
    )]
    Fault { broken: Vec<Rule> },
    /// A plan was handed in that does not answer this instance.
    #[error("the choices do not fit the instance: {}", .0.join("; "))]
    Unfit(Vec<String>),
}

fn joined<T: ToString>(items: &[T]) -> String {
    items.iter().map(T::to_string).collect::<Vec<_>>().join("; ")
}
