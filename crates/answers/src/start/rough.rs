//! A rough vehicle file from a few facts, with ranges as wide as not having looked deserves.

use std::fmt::Write;

use super::places::signs;
use super::setup::{EARTH_WORDS, Isolator, Metal, Place, Setup};
use crate::arguments::word_for;

/// Ends of a range in mΩ.
fn ohms(low: f64, high: f64) -> String {
    format!("[\"{low} mΩ\", \"{high} mΩ\"]")
}

/// Chance, in percent, that a second way home is not there on a vehicle that nobody has looked at: a
/// strap comes off with an engine and does not come back, or rots through, and nobody notices while
/// the first way holds. Common practice puts it between one in ten and one in three; no survey was found.
const MISSING_PERCENT: u32 = 20;

/// How a conductor of a rough vehicle is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Seen {
    /// Every such vehicle has it, and diagrams show it.
    Drawn,
    /// Every such vehicle has it, or no current would come home; diagrams leave it out.
    Undrawn,
    /// A second way home, which many have and nobody has looked for.
    Nobody,
}

struct Writer<'s> {
    text: String,
    setup: &'s Setup,
}

/// The text of the file. `remarks` are kept at its head.
pub(super) fn file(setup: &Setup, remarks: &[String]) -> String {
    let mut writer = Writer { text: String::new(), setup };
    writer.head(remarks);
    writer.metal();
    writer.sources();
    writer.cables();
    writer.loads();
    writer.text
}

impl Writer<'_> {
    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn has_body(&self) -> bool {
        matches!(self.setup.metal, Metal::EngineBody | Metal::EngineFrameBody)
    }

    fn has_frame(&self) -> bool {
        matches!(self.setup.metal, Metal::EngineFrame | Metal::EngineFrameBody)
    }

    fn head(&mut self, remarks: &[String]) {
        let setup = self.setup;
        self.line("# A rough file from `groundloom start`: no vehicle was measured for it. `likely` gives ranges in");
        self.line("# which nine of ten would lie. Whatever you know, put in its place: `size` and `length` of a cable,");
        self.line("# `resistance`, what a starter `draws`. `groundloom check FILE` says what is wrong and where.");
        self.line("# Cautions: no flame or spark near a battery; rings off; crank for seconds at a time. The maker's");
        self.line("# instructions override everything here.");
        if setup.layout == "camper-van" {
            self.line("# The second battery for living in it is left out; add it when it matters.");
        }
        for remark in remarks {
            let plain: String =
                remark.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
            let _ = writeln!(self.text, "# Said: {plain}");
        }
        let earth = word_for(&EARTH_WORDS, setup.earth);
        let _ = write!(
            self.text,
            "\nformat = 1\n\n[vehicle]\nname = \"Rough {}\"\nnominal = \"{} V\"\nearth = \"{earth}\"\nenvironment = \"{}\"\nstates = [\"resting\", \"key-on\", \"cranking\", \"idle\", \"running\"]\n\n",
            setup.layout, setup.nominal.0, setup.surroundings
        );
    }

    fn metal(&mut self) {
        self.line("# --- Metal: each body with the places where something is bolted to it.\n");
        let _ = write!(
            self.text,
            "[structures.engine]\nmaterial = \"grey cast iron\"\nlikely = {}\n[structures.engine.points]\nblock = {{}}          # bare metal of the block\nstarter = {{}}        # beside the starter\nearth-cable = {{}}    # where the earth cable is bolted\n\n",
            ohms(0.01, 0.1)
        );
        if self.has_frame() {
            let _ = write!(
                self.text,
                "[structures.frame]\nlikely = {}\n[structures.frame.points]\nfront = {{}}          # beside the engine\nrear = {{}}           # near the battery, when that is away from the engine\n\n",
                ohms(0.05, 1.0)
            );
        }
        if self.has_body() {
            let _ = write!(
                self.text,
                "[structures.body]\nlikely = {}\n[structures.body.points]\nfront = {{}}          # at the front, where a strap is bolted\ndash = {{}}           # behind the dashboard\nrear = {{}}           # near the battery, when that is away from the engine\n\n",
                ohms(0.1, 1.5)
            );
        }
        self.line("[points]\nfuse-box = {}         # where the fuse box is fed");
        if self.setup.metal == Metal::Engine {
            self.line("earth-bar = {}        # where the earth cables meet");
        }
        self.line("");
    }

    fn sources(&mut self) {
        let setup = self.setup;
        let (live, earthed) = signs(setup);
        let blocks = setup.blocks();
        let names: &[&str] =
            if setup.batteries == 2 { &["battery", "second-battery"] } else { &["battery"] };
        self.line("# --- Battery and alternator.\n");
        for name in names {
            let _ = write!(
                self.text,
                "[batteries.{name}]\nlikely-voltage = [\"{:.2} V\", \"{:.2} V\"]\nlikely-resistance = {}\n\n",
                12.1 * blocks,
                12.85 * blocks,
                ohms(3.0 * blocks, 12.0 * blocks)
            );
        }
        if setup.batteries == 2 {
            for (name, pole) in [("battery-link", live), ("battery-link-earth", earthed)] {
                let [from, to] = ["battery", "second-battery"].map(|own| format!("{own}/{pole}"));
                self.cable(name, &from, &to, (0.2, 1.2));
            }
        }
        let _ = write!(
            self.text,
            "[alternators.alternator]\noutput = \"100 A\"\ncase = \"engine/block\"\nlead = {{ to = \"starter/{live}\", likely = {} }}\n\n",
            ohms(0.5, 3.0)
        );
    }

    /// A conductor with a range instead of size and length.
    /// A conductor that the diagram shows.
    fn cable(&mut self, name: &str, from: &str, to: &str, ohms: (f64, f64)) {
        self.conductor(name, from, to, ohms, Seen::Drawn);
    }

    fn conductor(&mut self, name: &str, from: &str, to: &str, (low, high): (f64, f64), seen: Seen) {
        let _ = writeln!(
            self.text,
            "[conductors.{name}]\nfrom = \"{from}\"\nto = \"{to}\"\nlikely = {}   # or: size = \"35 mm²\", length = \"1 m\"",
            ohms(low, high)
        );
        if seen != Seen::Drawn {
            self.line("on-diagram = false");
        }
        if seen == Seen::Nobody {
            let _ = writeln!(
                self.text,
                "missing = \"{MISSING_PERCENT} %\"   # nobody has looked: take this line out when you have seen it"
            );
        }
        self.line("");
    }

    fn cables(&mut self) {
        let setup = self.setup;
        let (live, earthed) = signs(setup);
        let far = setup.place == Place::Far;
        self.line("# --- Main cables, feed then return.\n");
        let long = if far { (0.8, 4.0) } else { (0.3, 1.5) };
        let mut from = format!("battery/{live}");
        if setup.isolator == Isolator::Live {
            self.line("[switches.isolator]\nkind = \"battery switch\"\nclosed = \"always\"\n");
            self.cable("battery-cable", &from, "isolator/in", (0.15, 1.0));
            from = "isolator/out".to_owned();
        }
        self.cable("starter-cable", &from, &format!("starter/{live}"), long);
        self.cable("fuse-box-cable", &from, "fuse-box", (0.5, 4.0));
        let mut post = format!("battery/{earthed}");
        if setup.isolator == Isolator::Earthed {
            self.line("[switches.isolator]\nkind = \"battery switch\"\nclosed = \"always\"\n");
            self.cable("battery-earth", &post, "isolator/in", (0.15, 1.0));
            post = "isolator/out".to_owned();
        }
        if setup.metal == Metal::Engine {
            self.cable("main-earth", &post, "earth-bar", (0.15, 1.0));
            self.cable("engine-earth", "earth-bar", "engine/earth-cable", (0.2, 1.5));
            return;
        }
        let rear = if self.has_frame() { "frame/rear" } else { "body/rear" };
        let front = if self.has_frame() { "frame/front" } else { "body/front" };
        // With an earth lead of its own the body is a second way home for the engine, and the engine for it.
        let ring = self.has_body() && !far && setup.isolator == Isolator::None;
        let second = if ring { Seen::Nobody } else { Seen::Undrawn };
        if far || setup.isolator == Isolator::Earthed {
            self.cable("main-earth", &post, rear, (0.1, 0.8));
            self.conductor("engine-strap", front, "engine/earth-cable", (0.2, 1.5), Seen::Undrawn);
        } else {
            self.cable("main-earth", &post, "engine/earth-cable", (0.2, 1.2));
            self.conductor("engine-strap", "engine/block", front, (0.5, 4.0), second);
        }
        if self.has_body() && self.has_frame() {
            self.conductor("body-strap", "frame/front", "body/front", (0.5, 4.0), second);
        }
        if ring {
            self.cable("body-earth", &post, "body/front", (0.6, 4.0));
        }
        let to = if self.has_body() { "body/dash" } else { "frame/front" };
        self.line("# Metal that was never meant to carry current but will when a strap is gone.");
        let _ = write!(
            self.text,
            "[incidental.control-cables]\nfrom = \"engine/block\"\nto = \"{to}\"\nkind = \"control cable\"\n\n"
        );
    }

    fn loads(&mut self) {
        let setup = self.setup;
        // Rough currents of starters by voltage: common practice, no survey.
        let (amps, low, high) = match setup.nominal.0 {
            volts if volts < 9.0 => (250, 140, 420),
            volts if volts < 18.0 => (200, 110, 360),
            volts if volts < 36.0 => (260, 140, 480),
            _ => (150, 80, 280),
        };
        let home = match setup.metal {
            Metal::Engine => "earth-bar",
            Metal::EngineFrame => "frame/front",
            Metal::EngineBody | Metal::EngineFrameBody => "body/dash",
        };
        let share = 12.0 / setup.nominal.0;
        let amperes = |amps: f64| format!("{:.1} A", amps * share);
        self.line("# --- What switches the starter on: key, trigger wire, the solenoid's coil.\n");
        self.line("[switches.start-switch]\nkind = \"ignition switch\"\nfrom = \"fuse-box\"\nclosed = [\"cranking\"]\n");
        let _ = write!(
            self.text,
            "[loads.starter-coil]\nname = \"the coil of the starter's solenoid\"\nkind = \"resistive\"\ndraws = \"{}\"\nlikely = [\"{}\", \"{}\"]\non = [\"cranking\"]\nfeed = {{ from = \"start-switch/out\", likely = {} }}\ncase = \"engine/starter\"\n\n",
            amperes(12.0),
            amperes(6.0),
            amperes(30.0),
            ohms(10.0, 60.0)
        );
        self.line("# --- Loads.\n");
        let _ = write!(
            self.text,
            "[loads.starter]\nkind = \"starter\"\ndraws = \"{amps} A\"\nlikely = [\"{low} A\", \"{high} A\"]\nstall = \"{} A\"   # with the rotor held\non = [\"cranking\"]\ncontrol = \"starter-coil\"\nimportance = \"vital\"\ncase = \"engine/starter\"\n\n",
            high * 5 / 2
        );
        let _ = write!(
            self.text,
            "[loads.module]\nname = \"modules and gauges\"\nkind = \"module\"\ndraws = \"{}\"\nlikely = [\"{}\", \"{}\"]\nminimum = \"{} V\"\non = [\"key-on\", \"cranking\", \"idle\", \"running\"]\nfeed = {{ from = \"fuse-box\", likely = {} }}\nreturn = {{ to = \"{home}\", likely = {} }}\n\n",
            amperes(8.0),
            amperes(3.0),
            amperes(20.0),
            0.75 * setup.nominal.0,
            ohms(8.0, 60.0),
            ohms(3.0, 25.0)
        );
        let _ = write!(
            self.text,
            "[loads.lamp]\nname = \"the lamp or accessory\"\nkind = \"lamp\"\ndraws = \"110 W\"\nlikely = [\"40 W\", \"220 W\"]\non = [\"key-on\", \"idle\", \"running\"]\nfeed = {{ from = \"fuse-box\", likely = {} }}\nreturn = {{ to = \"{home}\", likely = {} }}\n",
            ohms(8.0, 50.0),
            ohms(3.0, 20.0)
        );
    }
}
