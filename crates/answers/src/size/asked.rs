//! What is asked of a new conductor.

use crate::Refusal;
use crate::arguments::whole_number;

asked! {
    /// The smallest conductor for a drop; in a vehicle file for drop, heat, fault energy and protection.
    #[schema(as = SizeAsked)]
    pub struct Asked {
        /// Current, such as `120 A`; in a vehicle file it follows from the network.
        #[arg(long, required_unless_present = "file", conflicts_with = "file")]
        pub current: Option<String>,
        /// Length of the feed conductor, along the conductor, such as `3.2 m`.
        #[arg(long)]
        #[schema(required = true)]
        pub length: String,
        /// Length of a return conductor of the same size; the drop is then that of both.
        #[arg(long, value_name = "LENGTH", conflicts_with = "file")]
        pub return_length: Option<String>,
        /// The drop that is allowed, such as `0.3 V`.
        #[arg(long, conflicts_with = "percent")]
        pub drop: Option<String>,
        /// The drop that is allowed as a share of the nominal voltage, such as `3 %`.
        #[arg(long)]
        pub percent: Option<String>,
        /// Nominal voltage, such as `12 V`.
        #[arg(long)]
        pub nominal: Option<String>,
        /// Metal of the conductor; several in a vehicle file, `copper,aluminium`.
        #[arg(long, default_value_t = Self::default().material)]
        pub material: String = "copper".to_owned(),
        /// Temperature of the air about the conductor, 20 °C when left out; in a vehicle file that of each state.
        #[arg(long, conflicts_with = "file")]
        pub ambient: Option<String>,
        /// Insulation, whose limit the temperature is held against; `PVC 105` when left out.
        #[arg(long)]
        pub insulation: Option<String>,
        /// Number of joints in the path; two for each conductor when left out.
        #[arg(long, value_parser = whole_number::<u32>, conflicts_with = "file")]
        pub joints: Option<u32>,
        /// Kind of the joints.
        #[arg(long, value_name = "KIND", default_value_t = Self::default().joint)]
        pub joint: String = "bolted lug".to_owned(),
        /// In a vehicle file: the point where the conductor begins, towards the source.
        #[arg(long, requires = "file")]
        pub from: Option<String>,
        /// In a vehicle file: the point where it ends.
        #[arg(long, requires = "file")]
        pub to: Option<String>,
        /// In a vehicle file: a load that must get at least `--least`.
        #[arg(long, requires_all = ["file", "least"])]
        pub load: Option<String>,
        /// The least voltage of that load, such as `11.5 V`.
        #[arg(long, requires = "load")]
        pub least: Option<String>,
        /// In a vehicle file: rating of a new fuse at the conductor's beginning.
        #[arg(long, requires = "file")]
        pub fuse: Option<String>,
        /// Kind of that fuse; the file's curve for this kind is used.
        #[arg(long, requires = "fuse", default_value_t = Self::default().fuse_kind)]
        pub fuse_kind: String = "bolted fuse".to_owned(),
        /// In a vehicle file: air that it runs through, `engine space`, `inside` or `outside`.
        #[arg(long, requires = "file")]
        pub surroundings: Option<String>,
        /// In a vehicle file: how it lies, `free` in the air or `on metal`.
        #[arg(long, requires = "file")]
        pub laid: Option<String>,
        /// In a vehicle file: number of loaded conductors in its bundle, itself included.
        #[arg(long, requires = "file", value_parser = whole_number::<u32>)]
        pub bundle: Option<u32>,
        /// In a vehicle file: one operating state; all when left out.
        #[arg(long, requires = "file")]
        pub state: Option<String>,
        /// Price of a metre of one size, `'35 mm²=9.80'` or `'aluminium 35 mm²=4.10'`; may be repeated.
        #[arg(long, value_name = "SIZE=AMOUNT", requires = "file")]
        pub price: Vec<String>,
        /// Let curves that the catalogue recalls, unconfirmed, stand in where the file has none.
        #[arg(long, requires = "file")]
        pub recalled_curves: bool,
    }
}

/// A key and its value where it was given.
type Given = (&'static str, Option<String>);

impl Asked {
    /// Everything that means nothing beside the rest, or is missing beside it. A terminal's parser knows the same
    /// rules; a request has no such parser.
    pub(super) fn slips(&self, in_vehicle: bool) -> Vec<Refusal> {
        let (given, what, expected) = if in_vehicle {
            let expected = "no vehicle, or nothing for it";
            (self.only_alone(), "is asked of a conductor without a vehicle", expected)
        } else {
            let expected = "a vehicle, or nothing for it";
            (self.only_in_vehicle(), "is asked of a conductor in a vehicle", expected)
        };
        let given = given.into_iter().filter_map(|(key, text)| Some((key, text?)));
        let mut slips: Vec<Refusal> =
            given.map(|(key, text)| Refusal::of(key, &text, what, expected)).collect();
        if !in_vehicle && self.current.is_none() {
            slips.push(Refusal::new("`--current` is not given", "a current such as `12 A`"));
        }
        self.pairs(&mut slips);
        slips
    }

    /// Arguments of which one goes with another, or without it.
    fn pairs(&self, slips: &mut Vec<Refusal>) {
        if let (Some(_), Some(percent)) = (&self.drop, &self.percent) {
            slips.push(Refusal::of("percent", percent, "stands beside `--drop`", "one of the two"));
        }
        match (&self.load, &self.least) {
            (Some(load), None) => {
                let expected = "`--least '11.5 V'` beside it";
                slips.push(Refusal::of("load", load, "has no least voltage", expected));
            }
            (None, Some(least)) => {
                slips.push(Refusal::of("least", least, "is that of no load", "`--load` beside it"));
            }
            _ => {}
        }
        if self.fuse.is_none() && self.fuse_kind != Self::default().fuse_kind {
            let (kind, expected) = (&self.fuse_kind, "`--fuse '30 A'` beside it");
            slips.push(Refusal::of("fuse_kind", kind, "is that of no fuse", expected));
        }
    }

    fn only_alone(&self) -> Vec<Given> {
        vec![
            ("current", self.current.clone()),
            ("return_length", self.return_length.clone()),
            ("ambient", self.ambient.clone()),
            ("joints", self.joints.map(|number| number.to_string())),
        ]
    }

    fn only_in_vehicle(&self) -> Vec<Given> {
        let mut given: Vec<Given> = vec![
            ("from", self.from.clone()),
            ("to", self.to.clone()),
            ("load", self.load.clone()),
            ("fuse", self.fuse.clone()),
            ("surroundings", self.surroundings.clone()),
            ("laid", self.laid.clone()),
            ("bundle", self.bundle.map(|number| number.to_string())),
            ("state", self.state.clone()),
            ("recalled_curves", self.recalled_curves.then(|| true.to_string())),
        ];
        given.extend(self.price.iter().map(|text| ("price", Some(text.clone()))));
        given
    }
}
