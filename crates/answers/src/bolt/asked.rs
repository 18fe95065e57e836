//! What is asked of a bolted joint.

use crate::arguments::whole_number;

/// Nothing is known of the finish of most threads.
pub(super) const USUAL_FINISH: &str = "unknown";
/// A wrench that clicks is usual.
pub(super) const USUAL_METHOD: &str = "torque wrench";

asked! {
    /// A bolted joint: torque and clamp force with scatter, faces, pressure, contact, protection.
    #[schema(as = BoltAsked)]
    #[command(group(clap::ArgGroup::new("given").required(true).multiple(true).args(["torque", "clamp", "joint"])))]
    pub struct Asked {
        /// A joint of that file, such as `main-negative.to`; what the file says of it need not be repeated.
        #[arg(long, value_name = "NAME", requires = "file")]
        pub joint: Option<String>,
        /// Thread, such as `M8`, `M10x1.25` or `5/16-18`.
        #[arg(long, required_unless_present = "joint")]
        pub thread: Option<String>,
        /// Property class or grade, such as `8.8` or `grade 5`; these two are taken when it is left out.
        #[arg(long)]
        pub class: Option<String>,
        /// Tightening torque, such as `20 N·m` or `15 ft-lb`.
        #[arg(long)]
        pub torque: Option<String>,
        /// Clamp force instead of torque, such as `12 kN`.
        #[arg(long, conflicts_with = "torque")]
        pub clamp: Option<String>,
        /// Finish of thread and head, such as `zinc`, `stainless` or `anti-seize`.
        #[arg(long, default_value = USUAL_FINISH)]
        pub finish: String = USUAL_FINISH.to_owned(),
        /// How it is tightened, such as `by feel` or `torque wrench, lubricated`.
        #[arg(long, default_value = USUAL_METHOD)]
        pub method: String = USUAL_METHOD.to_owned(),
        /// Torque that the thread takes before the head seats: of a locking nut or a forming screw.
        #[arg(long, value_name = "TORQUE")]
        pub running_torque: Option<String>,
        /// The two faces, such as `tin, bare steel`.
        #[arg(long, value_name = "METAL, METAL")]
        pub faces: Option<String>,
        /// Where it lives: dry, inland, salted roads, coast or sea.
        #[arg(long)]
        pub environment: Option<String>,
        /// Terminals on the same stud.
        #[arg(long, value_parser = whole_number::<u32>)]
        pub stack: Option<u32>,
        /// Outer diameter of the lug's pad, or of the face that clamps; twice the thread when left out.
        #[arg(long, value_name = "LENGTH")]
        pub pad: Option<String>,
        /// Washers, such as `flat, star under the lug`.
        #[arg(long)]
        pub washer: Option<String>,
        /// A screw that forms its own thread.
        #[arg(long)]
        pub forming: bool,
        /// The figures of the bolt of a joint that is asked about by its name alone, or what the file lacks for them.
        /// Without it such a joint is answered as far as its file says. The command line always wants the figures.
        #[arg(skip = true)]
        pub figures: bool,
    }
}

impl Asked {
    /// The sheet of a joint, as far as its file says.
    #[must_use]
    pub fn of_joint(name: impl Into<String>) -> Self {
        Self { joint: Some(name.into()), ..Self::default() }
    }

    /// True where a joint is named and nothing else is asked.
    pub(super) fn names_a_joint_alone(&self) -> bool {
        self.joint.is_some() && *self == Self { joint: self.joint.clone(), ..Self::default() }
    }

    /// True where anything but the bolt is asked about.
    pub(super) fn wants_a_sheet(&self) -> bool {
        self.joint.is_some()
            || self.faces.is_some()
            || self.environment.is_some()
            || self.stack.is_some()
            || self.pad.is_some()
            || self.washer.is_some()
            || self.forming
    }
}
