//! The page's files, which hold no data and are free to everybody who names a right host.

use axum::extract::Path;
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, Uri, header};
use axum::response::{IntoResponse, Redirect, Response};

/// What the page may do: run its own scripts, ask this server, and nothing else.
///
/// Styles may be inline because the text editor sets its own; scripts never may.
pub(crate) const POLICY: &str = "default-src 'none'; script-src 'self'; connect-src 'self'; font-src 'self'; img-src 'self' data: blob:; style-src 'self' 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types svelte-trusted-html";

/// The phone's page sets no styles.
const PHONE_POLICY: &str = "default-src 'none'; script-src 'self'; connect-src 'self'; font-src 'self'; img-src 'self' data: blob:; style-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types svelte-trusted-html";

/// The phone keeps its page, so that it opens again while the server is away.
const A_WEEK: &str = "private, max-age=604800";
/// As long as a phone's key.
const HALF_A_DAY: &str = "private, max-age=43200";
const FOR_EVER: &str = "public, max-age=31536000, immutable";
const ASK_FIRST: &str = "no-cache";

/// The page of the desk.
pub(crate) async fn desk(headers: HeaderMap) -> Response {
    shell("index.html", ASK_FIRST, POLICY, &headers)
}

/// Where the page of a phone is: under an address with its version. A phone keeps it for a week, and must
/// not take that of an earlier program for ours.
pub(crate) fn phone_path() -> String {
    match web::file("phone.html") {
        Some(page) => format!("/p?v={}", page.tag.trim_matches('"')),
        None => "/p".to_owned(),
    }
}

/// The page of a phone; without its version, the way there.
pub(crate) async fn phone(uri: Uri, headers: HeaderMap) -> Response {
    let path = phone_path();
    if uri.path_and_query().is_some_and(|asked| asked.as_str() == path) {
        return shell("phone.html", A_WEEK, PHONE_POLICY, &headers);
    }
    // The fragment, in which a code or a key stands, goes along by itself (RFC 9110, 10.2.2).
    ([(header::CACHE_CONTROL, HALF_A_DAY)], Redirect::temporary(&path)).into_response()
}

/// Scripts, styles, fonts.
pub(crate) async fn asset(Path(name): Path<String>, headers: HeaderMap) -> Response {
    served(&format!("assets/{name}"), FOR_EVER, POLICY, &headers)
}

/// The icon in the browser's tab.
pub(crate) async fn icon(headers: HeaderMap) -> Response {
    served("favicon.svg", ASK_FIRST, POLICY, &headers)
}

/// What is nowhere.
pub(crate) async fn nowhere() -> Response {
    crate::error::ApiError::not_found("page").into_response()
}

fn shell(path: &str, cache: &'static str, policy: &'static str, headers: &HeaderMap) -> Response {
    match web::without() {
        None => served(path, cache, policy, headers),
        Some(told) => format!("{told}\n").into_response(),
    }
}

fn served(path: &str, cache: &'static str, policy: &'static str, headers: &HeaderMap) -> Response {
    let Some(file) = web::file(path) else {
        return crate::error::ApiError::not_found("page").into_response();
    };
    let said = [
        (header::CONTENT_TYPE, kind(path)),
        (header::CACHE_CONTROL, cache),
        (header::ETAG, file.tag),
        (HeaderName::from_static("content-security-policy"), policy),
    ];
    let known = headers.get(header::IF_NONE_MATCH) == Some(&HeaderValue::from_static(file.tag));
    if known {
        return (StatusCode::NOT_MODIFIED, said).into_response();
    }
    (said, file.bytes).into_response()
}

fn kind(path: &str) -> &'static str {
    match path.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("js" | "mjs") => "text/javascript; charset=utf-8",
        Some("css") => "text/css; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("woff2") => "font/woff2",
        Some("json" | "webmanifest") => "application/json",
        _ => "application/octet-stream",
    }
}
