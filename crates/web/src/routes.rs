//! Addresses of pages, built in one place.

use std::fmt::Write as _;

pub const TODAY: &str = "/";
pub const WEEKS: &str = "/weeks";
pub const CARS: &str = "/cars";
pub const BENCH: &str = "/bench";
pub const SHEETS: &str = "/sheets";

pub fn car(car: &str) -> String {
    format!("/cars/{}", escaped(car))
}

pub fn formula(formula: &str) -> String {
    format!("{BENCH}/{}", escaped(formula))
}

/// A formula with what a derived reading of a car puts into it.
pub fn on_the_bench(formula_id: &str, car: &str, check: &str, place: &str) -> String {
    let [car, check, place] = [car, check, place].map(escaped);
    format!("{}?at_car={car}&at_check={check}&at_place={place}&do_it=load", formula(formula_id))
}

pub fn visit(car_id: &str) -> String {
    format!("{}/visit", car(car_id))
}

pub fn walk(car_id: &str) -> String {
    format!("{}/walk", car(car_id))
}

pub fn stop(car_id: &str, check: &str, place: &str) -> String {
    format!("{}/walk/{}/{}", car(car_id), escaped(check), escaped(place))
}

pub fn finding(car_id: &str, check: &str, place: &str) -> String {
    format!("{}/findings/{}/{}", car(car_id), escaped(check), escaped(place))
}

/// Where what is written on a part is typed.
pub fn marking(car_id: &str) -> String {
    format!("{}/marking", car(car_id))
}

pub fn plan(car_id: &str) -> String {
    format!("{}/plan", car(car_id))
}

/// A plan with wishes.
pub fn plan_with(car_id: &str, wishes: &[(&str, String)]) -> String {
    let wishes: Vec<String> = wishes.iter().map(|(name, text)| format!("{name}={}", escaped(text))).collect();
    format!("{}?{}", plan(car_id), wishes.join("&"))
}

pub fn letter(car_id: &str) -> String {
    format!("{}/letter", car(car_id))
}

pub fn keys(car_id: &str) -> String {
    format!("{}/keys", car(car_id))
}

pub fn sheet(sheet: &str) -> String {
    format!("{SHEETS}/{}", escaped(sheet))
}

/// All things of one kind on a sheet.
pub fn kind(sheet_id: &str, kind: &str) -> String {
    format!("{}/{}", sheet(sheet_id), escaped(kind))
}

/// One thing on a sheet: `("check", "front-disc-thickness")`.
pub fn thing(sheet: &str, of: &str, id: &str) -> String {
    format!("{}/{}", kind(sheet, of), escaped(id))
}

pub fn revisions(sheet_id: &str) -> String {
    format!("{}/revisions", sheet(sheet_id))
}

pub fn sheet_text(sheet_id: &str) -> String {
    format!("{}/edit", sheet(sheet_id))
}

/// A revision with what changed in it.
pub fn revision(sheet_id: &str, revision: &str) -> String {
    format!("{}?of={}", revisions(sheet_id), escaped(revision))
}

/// A line of one of its files.
pub fn sheet_line(sheet: &str, file: &str, line: usize) -> String {
    format!("{}?file={}&line={line}", sheet_text(sheet), escaped(file))
}

/// Where to sign, and where to go on.
pub fn sign(then: &str) -> String {
    format!("/sign?then={}", escaped(then))
}

/// A text as one part of an address.
pub fn escaped(text: &str) -> String {
    text.bytes().fold(String::with_capacity(text.len()), |mut out, byte| {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            out.push(byte.into());
        } else {
            _ = write!(out, "%{byte:02X}");
        }
        out
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_id_stays_one_part_of_its_address() {
        assert_eq!(stop("a/b", "lash", "cyl2.in1"), "/cars/a%2Fb/walk/lash/cyl2.in1");
        let wishes = [("budget", "100".to_owned()), ("must", "a&b".to_owned())];
        assert_eq!(plan_with("pip", &wishes), "/cars/pip/plan?budget=100&must=a%26b");
        assert_eq!(sign("/cars/a?x=1"), "/sign?then=%2Fcars%2Fa%3Fx%3D1");
    }
}
