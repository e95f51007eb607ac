//! The pages of a book that is thrown away, asked as a browser asks.

#![allow(dead_code)] // each file of tests uses its part

use axum::{
    Router,
    body::{Body, to_bytes},
    http::{Method, Request, Response, StatusCode, header},
};
use book::{Book, Clock};
use jiff::civil::date;
use sheet::SourceFile;
use std::{path::Path, sync::Arc};
use tempfile::TempDir;
use tower::ServiceExt;

pub const HOST: &str = "book.workshop.example";

pub struct Pages {
    folder: TempDir,
    router: Router,
}

pub struct Page {
    pub status: StatusCode,
    /// Where it leads on to; empty where it does not.
    pub to: String,
    pub html: String,
}

/// A file of the guide's example.
pub fn file(name: &str) -> String {
    let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/example");
    std::fs::read_to_string(example.join(name)).unwrap()
}

impl Pages {
    /// The van of the guide, looked over in the morning.
    pub fn of_the_guide() -> Self {
        let sheet = ["sheet.toml", "work.toml"];
        let sheet = sheet.map(|name| SourceFile::new(name, file(&format!("tallow-nuthatch/{name}"))));
        Self::with(&sheet, &["workshop.toml", "pip.toml", "pip-2026-05-04.toml"].map(file))
    }

    /// With this data sheet, if any, and these files recorded one after the other.
    pub fn with(sheet: &[SourceFile], files: &[String]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let clock = Clock::on(date(2026, 5, 4));
        let book = Book::open_or_make(folder.path()).unwrap();
        if !sheet.is_empty() {
            book.adopt(sheet, "ida", &clock).unwrap();
        }
        for text in files {
            book.record(&[SourceFile::new("file.toml", text.clone())])
                .unwrap_or_else(|error| panic!("{error}"));
        }
        Self { folder, router: web::router(Arc::new(book), clock) }
    }

    /// Takes in another data sheet, as another program on the same book does.
    pub fn adopt(&self, sheet: &[SourceFile]) {
        let clock = Clock::on(date(2026, 5, 4));
        Book::open(self.folder.path()).unwrap().adopt(sheet, "ida", &clock).unwrap();
    }

    /// How many entries the book has, which is whole.
    pub fn entries(&self) -> usize {
        let verified = Book::open(self.folder.path()).unwrap().verify().unwrap();
        assert_eq!(verified.problems, [""; 0]);
        verified.entries
    }

    pub async fn ask(&self, request: Request<Body>) -> Response<Body> {
        self.router.clone().oneshot(request).await.unwrap()
    }

    pub async fn page(&self, request: Request<Body>) -> Page {
        let response = self.ask(request).await;
        let status = response.status();
        let to = response.headers().get(header::LOCATION).map_or("", |to| to.to_str().unwrap()).to_owned();
        let bytes = to_bytes(response.into_body(), usize::MAX).await.unwrap();
        Page { status, to, html: String::from_utf8(bytes.to_vec()).unwrap() }
    }

    /// Asked by Ida, as everything is unless said.
    pub async fn get(&self, address: &str) -> Page {
        self.page(request(Method::GET, address, "ida").body(Body::empty()).unwrap()).await
    }

    pub async fn post(&self, address: &str, fields: &[(&str, &str)]) -> Page {
        self.post_as("ida", address, fields).await
    }

    pub async fn post_as(&self, signer: &str, address: &str, fields: &[(&str, &str)]) -> Page {
        self.page(form(address, signer, fields)).await
    }
}

/// A request of a browser in which this person signs.
pub fn request(method: Method, address: &str, signer: &str) -> axum::http::request::Builder {
    Request::builder()
        .method(method)
        .uri(address)
        .header(header::HOST, HOST)
        .header(header::COOKIE, format!("signer={signer}"))
}

pub fn form(address: &str, signer: &str, fields: &[(&str, &str)]) -> Request<Body> {
    request(Method::POST, address, signer)
        .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
        .body(Body::from(encoded(fields)))
        .unwrap()
}

/// Fields as a form sends them; their names are plain.
pub fn encoded(fields: &[(&str, &str)]) -> String {
    let one = |text: &str| text.bytes().map(|byte| format!("%{byte:02X}")).collect::<String>();
    fields.iter().map(|(name, value)| format!("{name}={}", one(value))).collect::<Vec<_>>().join("&")
}
