//! The routes in one table, each under the role that it needs, and their description.

mod described;

use std::sync::Arc;

use axum::Router;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::routing::get;
use utoipa::OpenApi;
use utoipa_axum::router::OpenApiRouter;
use utoipa_axum::routes as of;

use crate::app::Shared;
use crate::error::ErrorBody;
use crate::keys::Role;
use crate::routes::{
    devices, files, history, jobs, me, photos, questions, readings, report, results, stream,
    vehicles, work,
};
use crate::{gate, pages};

/// What is described besides the routes.
#[derive(OpenApi)]
#[openapi(
    info(
        title = "groundloom",
        description = "The workbench's server. Errors are answered with `ErrorBody`. See docs/workbench.md and docs/json.md.",
    ),
    components(schemas(ErrorBody, crate::routes::photos::Side, answers::told::Told))
)]
struct Described;

/// Routes under a role: nothing below it passes.
fn under(role: Role, routes: OpenApiRouter<Shared>) -> OpenApiRouter<Shared> {
    routes.route_layer(from_fn_with_state(role, gate::role))
}

/// Some routes: those of each module by name.
macro_rules! routes {
    ($($module:ident: $($route:ident)+;)*) => {
        OpenApiRouter::new()$($(.routes(of!($module::$route)))+)*
    };
}

/// The routes that change nothing.
fn looking() -> OpenApiRouter<Shared> {
    let looking = routes! {
        me: me;
        vehicles: list layouts get file;
        history: list get;
        readings: list check;
        files: get;
        work: list proof;
        photos: list get;
        results: list;
        report: report;
    };
    let asking = routes! {
        questions: schema;
        jobs: begin get cancel;
        stream: events;
    };
    looking.merge(questions::routes()).merge(asking)
}

/// Every route of the interface that needs a key.
fn with_key() -> OpenApiRouter<Shared> {
    let reading = routes! {
        readings: put retract restore;
        work: put retract restore;
        photos: put retract restore;
        results: keep;
    };
    let editing = routes! {
        vehicles: create put;
        history: undo redo;
        files: put retract restore;
    };
    let desk = routes! {
        vehicles: remove restore;
        devices: open close list revoke;
    };
    under(Role::Look, looking())
        .merge(under(Role::Read, reading))
        .merge(under(Role::Edit, editing))
        .merge(under(Role::Desk, desk))
}

/// All routes of the interface.
fn interface(app: Option<&Shared>) -> OpenApiRouter<Shared> {
    let with_key = match app {
        Some(app) => with_key().route_layer(from_fn_with_state(Arc::clone(app), gate::key)),
        None => with_key(),
    };
    OpenApiRouter::with_openapi(Described::openapi()).routes(of!(devices::pair)).merge(with_key)
}

/// The description of the interface, as it is kept in `docs/openapi.json`.
#[must_use]
pub fn openapi() -> String {
    let (_, described) = interface(None).split_for_parts();
    let mut described = serde_json::to_value(&described).unwrap_or_default();
    described::complete(&mut described);
    let mut text = serde_json::to_string_pretty(&described).unwrap_or_default();
    text.push('\n');
    text
}

/// Everything that is served, behind the checks of every request.
pub(crate) fn router(app: &Shared) -> Router {
    let (interface, _) = interface(Some(app)).split_for_parts();
    interface
        .route("/", get(pages::desk))
        .route("/p", get(pages::phone))
        .route("/assets/{name}", get(pages::asset))
        .route("/favicon.svg", get(pages::icon))
        .fallback(pages::nowhere)
        .layer(from_fn(crate::listen::in_time))
        .layer(from_fn_with_state(Arc::clone(app), gate::origin))
        .with_state(Arc::clone(app))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Types for the page are made from the published description.
    #[test]
    fn the_published_description_of_the_interface_is_this_one() {
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/openapi.json");
        #[expect(
            clippy::disallowed_methods,
            reason = "whoever runs the test may ask for an update"
        )]
        if std::env::var("UPDATE").is_ok() {
            std::fs::write(path, openapi()).unwrap();
        }
        #[expect(clippy::disallowed_methods, reason = "the description is a file")]
        let published = std::fs::read_to_string(path).unwrap_or_default();
        assert!(
            published == openapi(),
            "write it anew: UPDATE=1 cargo test -p server openapi, then `npm run types` in web/"
        );
    }

    #[test]
    fn every_answer_and_every_body_has_a_shape() {
        let described: serde_json::Value = serde_json::from_str(&openapi()).unwrap();
        let paths = described["paths"].as_object().unwrap();
        assert!(paths.len() > 40, "{}", paths.len());
        let operations = paths.values().flat_map(|own| own.as_object().unwrap().values());
        let names: Vec<_> = operations.map(|own| own["operationId"].as_str().unwrap()).collect();
        let distinct: std::collections::BTreeSet<_> = names.iter().collect();
        assert_eq!(distinct.len(), names.len(), "{names:?}");
        let shapes = described["components"]["schemas"].as_object().unwrap();
        // Every reference leads somewhere.
        let text = openapi();
        for part in text.split("\"#/components/schemas/").skip(1) {
            let name = part.split('"').next().unwrap();
            assert!(shapes.contains_key(name), "{name}");
        }
    }

    #[test]
    fn what_a_question_is_about_is_described_once() {
        let text = openapi();
        for once in
            ["Resistances to try, such as", "A vehicle file that is not stored; goes before"]
        {
            assert_eq!(text.matches(once).count(), 1, "{once}");
        }
        let described: serde_json::Value = serde_json::from_str(&text).unwrap();
        let body = &described["components"]["schemas"]["Body_OfVehicle_SolveAsked"];
        assert_eq!(body["allOf"][0]["$ref"], "#/components/schemas/OfVehicle");
        assert_eq!(body["unevaluatedProperties"], false);
    }
}
