//! What is asked of warmth.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::HeatDuty;

/// How warm conductors and joints get in an operating state, and how soon.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, ToSchema, clap::Args)]
#[serde(deny_unknown_fields)]
#[schema(as = HeatAsked)]
pub struct Asked {
    /// The operating state.
    #[arg(long)]
    pub state: String,
    /// How long it lasts, such as `15 s`; the state's usual duration when left out.
    #[arg(long = "for", value_name = "TIME")]
    #[serde(rename = "for", default)]
    pub time: Option<String>,
    /// The same in seconds.
    #[arg(skip)]
    #[serde(default)]
    pub seconds: Option<f64>,
    /// Share of the time that the current flows, such as `30 %`; that of each load when left out.
    #[arg(long, requires = "period", value_name = "SHARE")]
    #[serde(default)]
    pub duty: Option<DutyAsked>,
    /// From one beginning of the current to the next, such as `2 min`.
    #[arg(long, requires = "duty", value_name = "TIME")]
    #[serde(default)]
    pub period: Option<String>,
    /// Show everything that carries current.
    #[arg(long)]
    #[serde(default)]
    pub all: bool,
}

/// A current that comes and goes, as it is asked about.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(untagged)]
pub enum DutyAsked {
    /// The share of the time that it flows, such as `30 %`, beside a period.
    Share(String),
    /// Share and period in one.
    Round(HeatDuty),
}

impl From<&str> for DutyAsked {
    fn from(share: &str) -> Self {
        Self::Share(share.to_owned())
    }
}
