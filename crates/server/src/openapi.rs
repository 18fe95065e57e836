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

/// Every route of the interface that needs a key.
fn with_key() -> OpenApiRouter<Shared> {
    let looking = OpenApiRouter::new()
        .routes(of!(me::me))
        .routes(of!(vehicles::list))
        .routes(of!(vehicles::layouts))
        .routes(of!(vehicles::get))
        .routes(of!(vehicles::file))
        .routes(of!(history::list))
        .routes(of!(history::get))
        .routes(of!(readings::list))
        .routes(of!(readings::check))
        .routes(of!(files::get))
        .routes(of!(work::list))
        .routes(of!(work::proof))
        .routes(of!(photos::list))
        .routes(of!(photos::get))
        .routes(of!(results::list))
        .routes(of!(report::report))
        .merge(questions::routes())
        .routes(of!(questions::schema))
        .routes(of!(jobs::begin))
        .routes(of!(jobs::get))
        .routes(of!(jobs::cancel))
        .routes(of!(stream::events));
    let reading = OpenApiRouter::new()
        .routes(of!(readings::put))
        .routes(of!(readings::retract))
        .routes(of!(readings::restore))
        .routes(of!(work::put))
        .routes(of!(work::retract))
        .routes(of!(work::restore))
        .routes(of!(photos::put))
        .routes(of!(photos::retract))
        .routes(of!(photos::restore))
        .routes(of!(results::keep));
    let editing = OpenApiRouter::new()
        .routes(of!(vehicles::create))
        .routes(of!(vehicles::put))
        .routes(of!(history::undo))
        .routes(of!(history::redo))
        .routes(of!(files::put))
        .routes(of!(files::retract))
        .routes(of!(files::restore));
    let desk = OpenApiRouter::new()
        .routes(of!(vehicles::remove))
        .routes(of!(vehicles::restore))
        .routes(of!(devices::open))
        .routes(of!(devices::close))
        .routes(of!(devices::list))
        .routes(of!(devices::revoke));
    under(Role::Look, looking)
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
}
