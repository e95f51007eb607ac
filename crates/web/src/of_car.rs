//! A page that shows one car: which, and who asks for it.

use crate::{app::App, error::PageError, layout::Shell, sign::Signer};
use axum::{
    extract::{FromRequestParts, Path},
    http::request::Parts,
    response::{IntoResponse, Response},
};
use book::OpenCar;
use maud::Markup;

/// What a page of a car is asked with.
pub struct OfCar {
    app: App,
    signer: Signer,
    id: String,
}

impl FromRequestParts<App> for OfCar {
    type Rejection = Response;

    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Response> {
        let Path(id) = Path::from_request_parts(parts, app).await.map_err(IntoResponse::into_response)?;
        let Ok(signer) = Signer::from_request_parts(parts, app).await;
        Ok(Self { app: app.clone(), signer, id })
    }
}

impl OfCar {
    /// The page as the car stands today.
    pub async fn page(
        self,
        title: &'static str,
        view: impl FnOnce(&Shell, &OpenCar) -> Markup + Send + 'static,
    ) -> Result<Markup, PageError> {
        let Self { app, signer, id } = self;
        app.ask(move |app| {
            let car = app.car(&id)?;
            let shell = Shell::new(app, &signer, title)?;
            Ok(shell.page(view(&shell, &car)))
        })
        .await
    }
}
