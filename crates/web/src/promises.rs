//! Work agreed for later, wherever a car is shown: what, for when, with whom, and what of it is still to do.

use crate::routes;
use book::OpenCar;
use maud::{Markup, html};
use sheet::OperationId;
use workshop::{
    long_job::{Due, LongJob},
    words,
};

/// What is carried on the car; nothing when nothing is.
pub fn carried(car: &OpenCar) -> Markup {
    let jobs: Vec<(&LongJob, Due)> = car.car.promised(car.today).collect();
    html! {
        @if !jobs.is_empty() {
            aside.carry aria-label="Agreed with the owner" {
                h2 { "Agreed with the owner" }
                ul {
                    @for (job, due) in jobs {
                        li {
                            (line(car, job, due)) " "
                            a href=(routes::plan(&car.car.id)) { "See the plan" }
                        }
                    }
                }
            }
        }
    }
}

/// One long job: its open work, when, and who agreed when.
pub fn line(car: &OpenCar, job: &LongJob, due: Due) -> Markup {
    let open: Vec<String> = car.car.remaining(job).into_iter().map(|id| title(car, id)).collect();
    let done = job.operations.len() - open.len();
    html! {
        b { (open.join("; ")) }
        span.quiet {
            " " @match due {
                Due::Now => b { "due now" },
                Due::On(day) => { "for " (words::day(day)) },
                Due::NextVisit => { "for the next visit" },
            }
            ", agreed on " (words::day(job.agreed)) " by " (job.name)
            @if let Some(said) = &job.words { ": “" (said) "”" }
            @if done > 0 { "; " (words::count(done, "piece", "pieces")) " of it done" }
        }
    }
}

fn title(car: &OpenCar, id: &OperationId) -> String {
    car.sheet.operations.get(id).map_or_else(|| id.to_string(), |known| known.title.clone())
}
