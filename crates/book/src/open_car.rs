//! A car with everything that judging it rests on.

use jiff::civil::Date;
use sheet::Sheet;
use std::sync::Arc;
use workshop::{Car, Judge, Shop};

/// A car, its data sheet and the workshop, as of a day.
#[derive(Debug, Clone)]
pub struct OpenCar {
    pub shop: Arc<Shop>,
    pub sheet: Arc<Sheet>,
    pub car: Arc<Car>,
    pub today: Date,
}

impl OpenCar {
    /// A judge of the car.
    pub fn judge(&self) -> Judge<'_> {
        Judge::new(&self.shop, &self.sheet, &self.car, self.today)
    }
}
