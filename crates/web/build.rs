//! A changed style or script is carried by the next build.

fn main() {
    println!("cargo:rerun-if-changed=static");
}
