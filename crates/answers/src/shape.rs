//! How the keys of a question and of its answer are written down: each once, with its meaning, its type and what it is
//! made of.

/// A part of an answer as programs read it, and the function `of` that makes it.
///
/// ```ignore
/// shape! {
///     /// What a joint gets.
///     pub struct WarmJoint from (vehicle: &Vehicle, own: &JointWarmth) {
///         let joint = vehicle.joint(own.joint);
///         /// Its name.
///         pub name: String = joint.id.clone(),
///         /// What it carries, in amperes.
///         pub amps: f64 = own.amps.0,
///     }
/// }
/// ```
macro_rules! shape {
    ($(
        $(#[$about:meta])*
        pub struct $name:ident from $sight:vis ($($from:ident: $of:ty),* $(,)?) {
            $(let $known:pat_param = $is:expr;)*
            $($(#[$meaning:meta])* pub $key:ident: $kind:ty = $value:expr,)*
        }
    )*) => {$(
        #[derive(Debug, Clone, PartialEq, serde::Serialize, utoipa::ToSchema)]
        $(#[$about])*
        pub struct $name {
            $($(#[$meaning])* pub $key: $kind,)*
        }

        impl $name {
            /// As it stands in an answer.
            $sight fn of($($from: $of),*) -> Self {
                $(let $known = $is;)*
                Self { $($key: $value),* }
            }
        }
    )*};
}

/// What a question asks, alike on the command line and in a request: each argument with its help, its type and, where
/// it is not nothing, what is usual.
macro_rules! asked {
    (
        $(#[$about:meta])*
        pub struct $name:ident {
            $($(#[$help:meta])* pub $key:ident: $kind:ty $(= $usual:expr)?,)*
        }
    ) => {
        #[derive(
            Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize, utoipa::ToSchema, clap::Args,
        )]
        #[serde(default, deny_unknown_fields)]
        $(#[$about])*
        pub struct $name {
            $($(#[$help])* pub $key: $kind,)*
        }

        impl Default for $name {
            fn default() -> Self {
                Self { $($key: asked!(@usual $($usual)?)),* }
            }
        }
    };
    (@usual) => { Default::default() };
    (@usual $usual:expr) => { $usual };
}

/// Each of a list as it stands in an answer about something.
pub(crate) fn each<A: Copy, B, T>(
    about: A,
    all: impl IntoIterator<Item = B>,
    of: impl Fn(A, B) -> T,
) -> Vec<T> {
    all.into_iter().map(|own| of(about, own)).collect()
}
