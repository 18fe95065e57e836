//! What people say of what they saw, felt and tried: words of one or several, in British and American English.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use model::{Condition, Occasion, Upset};

/// What a word or several mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in super::super) enum Tag {
    /// It changes nothing.
    Filler,
    /// It goes slowly: the fault itself.
    Slow,
    /// It denies what stands behind it.
    Not,
    /// It begins when something is so.
    When,
    /// Something is hot.
    Hot,
    /// Something is not hot.
    Cool,
    /// How something was found.
    Condition(Condition),
    /// It does something that it should not.
    Upset(Upset),
    /// It goes on as it should: bright, alive.
    Well(Upset),
    /// Another one was put in.
    Replaced,
    /// It was cleaned or tightened.
    Cleaned,
    /// It was pushed or pulled.
    Moved,
    /// It made no difference.
    Vain,
    /// It helped.
    Helped,
    /// When a fault comes.
    Occasion(Occasion),
    /// A state, by the name that files give it.
    State(&'static str),
    /// Another load is on.
    On,
    /// The pole that is written so.
    Plus,
    /// The other.
    Minus,
    /// Whichever pole feeds.
    Live,
    /// Whichever is joined to the metal.
    Earthed,
    /// Between two things of which each counts.
    And,
    /// Whose cable or terminal it is.
    Of(Whose),
    /// A cable, lead, wire.
    Cable,
    /// Several of them.
    Cables,
    /// A strap or braid, which is on the way home.
    Strap,
    /// A clamp, terminal, stud, lug, connector.
    Terminal,
    /// The clamp or post of a battery.
    Clamp,
    /// Thin, as the wires of devices are.
    Thin,
    /// Metal that was never meant to carry current.
    Undrawn,
    /// The same, and hot anyway while the engine runs.
    Exhaust,
    /// A device.
    Device(Device),
    /// `hot lead` is what Americans call a live one.
    HotLead,
    /// It may mean something else, and is asked back with this.
    Doubtful(&'static str),
}

/// Whose cable or terminal something is, or where it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in super::super) enum Whose {
    Battery,
    Starter,
    Engine,
    Body,
    Frame,
    Alternator,
}

/// Devices that most vehicles have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in super::super) enum Device {
    Gauge,
    Lamps,
    /// All that is electric.
    All,
    /// Any other consumer.
    Other,
    Control,
    Fuses,
    Isolator,
}

use Condition::{Broken, Corroded, Fine, Loose, Missing};
use Device::{All, Control, Fuses, Gauge, Isolator, Lamps, Other};
use Whose::{Alternator, Battery, Body, Engine, Frame, Starter};

const WHICH_COLD: &str = "say `stays cool`, or `only when it is cold outside`";

/// Every term, several with one meaning between bars; the longest that fits is taken.
#[rustfmt::skip]
pub(in super::super) const TERMS: &[(&str, Tag)] = &[
    ("a|an|the|this|that|these|those|my|his|her|our|their|its|your|some|both|all|each|either", Tag::Filler),
    ("i|we|you|he|she|they|it|which|who|what i saw|one|ones|there|here|own|same side", Tag::Filler),
    ("is|was|are|were|be|been|being|has|have|had|gets|get|got|getting|goes|went|going|becomes|became|turns|turned|turning|feels|felt|looks|looked|seems|runs|ran|stays|stayed|remains|remained|does|do|did|will|starts to|start to|started to|begins to|began to|comes|keeps|kept|sits", Tag::Filler),
    ("found|saw|see|seen|noticed|find|notice|feel|checked|check|touching|touched|to the touch|by hand|could be turned|can be turned", Tag::Filler),
    ("at|on|in|by|of|to|from|between|near|under|behind|inside|beside|next to|around|where|also|too|then|so|as|for|up|down|into|onto|over|through|via|along|right|left|front|rear|upper|lower|top|bottom|side|end|ends|place|part|area|hand|part of", Tag::Filler),
    ("very|really|quite|rather|extremely|pretty|badly|completely|totally|fully|slightly|a little|a bit|somewhat|clearly|quickly|fast|enough|just|still|now|again|always|every time|each time|immediately|at once|straight away|right away|soon|within|for a while|a lot|much|all over|already|even|only|actually|well|brand|old|original|big|small|long|short|main|whole|existing|other", Tag::Filler),
    ("and|&", Tag::And),
    ("seconds|second|sec|secs|minute|minutes|min|s|moment|few|couple|couple of|some time|attempt|attempts|tries|several", Tag::Filler),
    ("under the bonnet|under the hood|in the engine bay|in the boot|in the trunk|under the dash|behind the dash|behind the dashboard", Tag::Filler),
    ("slow|slowly|sluggish|sluggishly|lazy|lazily|drags", Tag::Slow),
    ("symptom|problem|fault|trouble|thing|things|result|issue", Tag::Filler),
    ("not|no|never|n't|isn't|wasn't|aren't|weren't|doesn't|didn't|don't|won't|hasn't|haven't|cannot|can't|without|not at all|no sign of|no signs of|no trace of|not even|nothing|none|free of|isnt|doesnt|didnt|dont", Tag::Not),
    ("when|while|whilst|whenever|as soon as|once|during|with|after|if", Tag::When),
    // Heat.
    ("hot|red hot|too hot to touch|too hot to hold|burning hot|scorching|warm|warms up|warms|heats up|heats|heat|heating up|overheats|overheating|smoke|smokes|smoking|smoked|melts|melted|melting|burnt|burned|burns|burning|scorched|charred|glows|glowing|glowed|cooked|singed|discoloured|discolored|hand warm|heated|toasty|sizzles|sizzling", Tag::Hot),
    ("cool|cool to the touch|stone cold|cold to the touch|stays cold|stayed cold|remains cold|is cold|was cold|are cold|keeps cool|ice cold", Tag::Cool),
    ("hot lead|hot wire|hot side|hot post|hot leads|hot wires", Tag::HotLead),
    ("cold", Tag::Doubtful(WHICH_COLD)),
    // Condition.
    ("loose|slack|not tight|wobbly|wobbles|undone|finger tight|barely tight|came loose|worked loose|backed off|could be turned by hand|turns by hand|turned by hand|unscrewed", Tag::Condition(Loose)),
    ("green|corroded|corrosion|rusty|rust|rusted|furred|furred up|verdigris|crusty|crud|dirty|oxidised|oxidized|white powder|painted over|paint under|black inside|pitted|crusted|mouldy|fur|greasy", Tag::Condition(Corroded)),
    ("broken|broken off|snapped|frayed|cut|cut through|severed|cracked|rotten|rotted|rotted through|hanging by a thread|strands broken|broken strands|parted|split|chewed|chafed through|sheared|rusted through|rusted away", Tag::Condition(Broken)),
    ("off|missing|gone|came off|fell off|fallen off|had come off|come off|not there|absent|not connected|disconnected|not fitted|unbolted|left off|hanging loose|hanging free|dangling|detached|never refitted|forgotten|unplugged|not bolted", Tag::Condition(Missing)),
    ("tight|clean|clean and tight|sound|shiny|bright metal|as new|good|fine|ok|okay|in good order|in good condition|perfect|looks good|looks fine|intact|snug", Tag::Condition(Fine)),
    // What else misbehaves.
    ("moves|move|moved|jumps|jump|jumped|rises|rise|rose|climbs|climb|flicks|flickers|flicker|swings|swing|goes up|goes down|goes crazy|goes mad|goes haywire|goes wild|reads high|reads low|reads wrong|reads higher|reads lower|drops|drop|falls|fall|crackles|crackle|hums|hum|buzzes|buzz|whines|whine|resets|reset|reboots|reboot|restarts|blinks|blink|acts up|plays up|misbehaves|misbehave|twitches|twitch|wanders|wander|dances|dance|deflects|kicks|shifts|cuts out|drops out|goes off scale|pegs", Tag::Upset(Upset::Moves)),
    ("dim|dims|dimmed|dimmer|goes dim|go dim|fade|fades|faded|fading|get weak|get weaker|gets weaker|gets dimmer|get dimmer|go down to a glow|turn yellow|weak", Tag::Upset(Upset::Dims)),
    ("dead|is dead|are dead|goes dead|go dead|dead too|dies|die|died|go out|goes out|went out|goes dark|go dark|black out|stops working|stop working|goes blank|shuts off|shut off|shuts down", Tag::Upset(Upset::Dies)),
    ("bright|stay bright|stays bright|remain bright|shine as before|full brightness|at full brightness|strong", Tag::Well(Upset::Dims)),
    ("works|work|worked|working|alive|lights up|light up|stays on|stay on|stays alive", Tag::Well(Upset::Dies)),
    ("steady|stays steady|stay steady|keeps still|stays still|stands still", Tag::Well(Upset::Moves)),
    // What was tried.
    ("new|replaced|replacing|swapped|swapping|changed|changing|fitted a new|fitted new|fitted|put in|installed|renewed|another|exchanged|rebuilt|reconditioned|remanufactured|second hand|borrowed|known good|replacement|swapped out|swapped in", Tag::Replaced),
    ("cleaned|cleaning|tightened|tightening|retightened|greased|brushed|sanded|filed|scraped|cleaned up|remade|re made|wire brushed|nipped up", Tag::Cleaned),
    ("wiggling|wiggle|wiggled|jiggling|jiggle|jiggled|pushing|push|pushed|pressing|press|pressed|pulling|pulled|tapping|tap|tapped|hitting|hit|twisting|twisted|shaking|shook|tugging|tugged|knocking|knocked|waggling|waggled|leaning on|squeezing|squeezed|wriggling|wriggled", Tag::Moved),
    ("no change|no difference|changed nothing|change nothing|made no difference|makes no difference|makes no change|made no change|same as before|no effect|no improvement|no better|no luck|without effect|without success|in vain|did not help|didn't help|didnt help|does not help|doesn't help|doesnt help|did not fix it|didn't fix it|did not cure it|didn't cure it|nothing changed|nothing changes|no help|still the same|the same|same|unchanged|to no avail|not better|nothing better|did nothing|does nothing|fault remains|problem remains|still slow|still dead|did not change anything|didn't change anything|changes nothing|same fault|same problem|same result|exactly the same|just the same|was no help|no cure|no joy|no go|did not change a thing|made it no better|still cranks slowly|still slow cranking|still clicks|still just clicks|still the same fault|still weak|still dim|still no start|still no crank|still won't crank|still won't start|made absolutely no difference|no difference at all|no change at all|not a bit better|did not make a difference|didn't make a difference|didn't make any difference|made no change at all|as slow as before|as bad as before|no noticeable difference|no real difference|nothing different|still not right", Tag::Vain),
    ("helped|helps|cured|cured it|cures it|fixed it|fixed|fixes it|better|much better|works again|worked again|makes it work|made it work|made it better|makes it better|starts again|then it starts|then it cranks|cranks again|it starts|brings it back|brought it back|solved it|improved|improves it|works then|it works|starts|cranks fine|starts fine|starts right up|fires right up|fires up|spins fine|spins fast|turns over fine|cranks normally|starts every time|cranks well|did work|it did work|that did it|full power|has full power|all works|everything works|works fine|works perfectly|works great|runs fine|turns over fine|turns over well|spins over|spins well|spins over fine|cranks strong|cranks strongly|cranks like new|spins like new|starts normally|starts instantly|starts easily|starts straight away|starts right away|starts first time|problem gone|problem solved|fault gone|cured the problem|fixed the problem|cured the fault|fixed the fault|made all the difference|big improvement|night and day|faster|cranks faster|cranks better|spins faster|turns faster|cranked fine|started fine|started right up|cranks up|all good|fires straight up|turned over fine|much faster|much brighter|brighter|works normally|works properly|back to normal|fires up fine|fires up every time|starts first turn|starts at once|cranked normally|cranks strongly again|sorted it|sorted|starts perfectly|cranks perfectly|fires", Tag::Helped),
    // When it comes.
    ("when wet|when it is wet|when it's wet|when it rains|in the rain|in rain|in wet weather|when damp|when it is damp|in the wet|after rain|after washing|after a wash|after the wash|wet weather|damp weather|when raining|in heavy rain|on wet days|after heavy rain", Tag::Occasion(Occasion::Wet)),
    ("when hot|when it is hot|when it's hot|when the engine is hot|when warm|when it is warm|when the engine is warm|when warmed up|once hot|once warm|hot engine|after a long drive|after a run|when heat soaked|once the engine is hot|once it is hot|once the engine is warm|with a hot engine|with the engine hot|hot starts|on hot starts", Tag::Occasion(Occasion::Hot)),
    ("when cold|when it is cold|when it's cold|on cold mornings|in the cold|in cold weather|when the engine is cold|in winter|cold starts|on cold starts|with a cold engine|when it is cold outside", Tag::Occasion(Occasion::Cold)),
    ("after a bump|after bumps|over bumps|on bumps|on rough roads|after vibration|after rough roads|when it shakes|over potholes|on bumpy roads|when hitting a bump|in rough water|in a seaway|in a chop|with vibration|after a pothole|over rough ground", Tag::Occasion(Occasion::Shaken)),
    ("comes and goes|came and went|intermittent|intermittently|now and then|sometimes|on and off|occasionally|at random|randomly|from time to time|off and on|now and again", Tag::Occasion(Occasion::ComesAndGoes)),
    ("happens|happen|happened|occurs|occur|fails|appears|shows|acts|worse", Tag::Filler),
    // States.
    ("cranking|cranked|crank|cranks|being cranked|starting|turning over|turned over|trying to start|start attempt|starter is used|starter is on|starter runs|starter turns|starter is turning|starter is running|key at start|key in start|key held at start|turn the key to start|key is turned to start|key turned to start|hit the starter|press the starter|press the starter button|pressing the starter|starter button is pressed|push the starter button|starting the engine|turning the engine over|engine is cranked|engine is turned over|i crank|i try to start|self starter is pressed|start button is pressed", Tag::State("cranking")),
    ("running|engine running|driving|underway|under way|on the road|motor running|engine is running|engine runs|motor is running|while driving|being driven|drive", Tag::State("running")),
    ("idling|idle|at idle|ticking over", Tag::State("idle")),
    ("at rest|parked|everything off|engine off|key off|overnight|standing|ignition off|with everything off", Tag::State("resting")),
    ("key on|ignition on|ignition is on|key is on", Tag::State("key-on")),
    ("switched on|turned on|is on|are on|comes on|come on|is switched on|are switched on|is turned on|are turned on|switch on|turn on|kicks in|is running on|is used|is activated|operated|switching on|turning on|are used|i switch on|i turn on|flashing|are flashing", Tag::On),
    // Parts.
    ("plus|positive|pos|red", Tag::Plus),
    ("live", Tag::Live),
    ("minus|negative|neg|black", Tag::Minus),
    ("earth|ground|earthing|grounding|grounds|earths", Tag::Earthed),
    ("battery|batteries|battery's", Tag::Of(Battery)),
    ("starter|starter motor|self starter|starter's", Tag::Of(Starter)),
    ("engine|motor|block|engine block|bell housing|bellhousing|gearbox|transmission|engine's", Tag::Of(Engine)),
    ("body|bodywork|wing|fender|bulkhead|firewall|inner wing|body shell|shell|cab|hull|scuttle", Tag::Of(Body)),
    ("frame|chassis|frame rail|chassis rail|subframe", Tag::Of(Frame)),
    ("alternator|dynamo|generator", Tag::Of(Alternator)),
    ("cable|lead|wire|conductor|cabling|wiring", Tag::Cable),
    ("cables|leads|wires", Tag::Cables),
    ("strap|straps|braid|braided strap|earth strap|ground strap|bonding strap|earth straps|ground straps|earth braid|ground braid", Tag::Strap),
    ("terminal|terminals|stud|bolt|nut|lug|eye|ring|ring terminal|connector|connection|connections|connectors|eyelet|plug|contact|contacts|screw|crimp|joint", Tag::Terminal),
    ("clamp|clamps|battery clamp|post|posts|pole clamp|battery post", Tag::Clamp),
    ("thin|little|skinny|slim|thin black", Tag::Thin),
    ("thick|heavy|fat|braided|insulated|bare|steel|copper|heavy duty|thick black|thick red", Tag::Filler),
    ("control cable|control cables|throttle cable|throttle cables|throttle|accelerator cable|gas cable|choke cable|choke wire|choke|clutch cable|brake cable|handbrake cable|hand brake cable|parking brake cable|speedometer cable|speedo cable|speedo drive|tacho cable|tachometer cable|rev counter cable|gear cable|gear cables|shift cable|shifter cable|gear linkage|shift linkage|linkage|gear lever|gear stick|gear selector|stop cable|engine stop cable|pull stop|heater cable|bonnet cable|hood cable|bowden cable|bowden|bowden cables|steering cable|prop shaft|propshaft|propeller shaft|driveshaft|drive shaft|shaft coupling|brake hose|brake hoses|brake line|brake lines|brake pipe|brake pipes|clutch hose|clutch pipe|braided hose|braided hoses|fuel pipe|fuel line|oil pipe|oil line|gauge pipe|oil gauge pipe|capillary|aerial lead|antenna lead|antenna cable|aerial cable|coax|screen of a wire|shield of a wire|shield|shielding|screen|screening|hinge|hinges|bonnet hinge|hood hinge|bonnet hinges|wheel bearing|wheel bearings|steel pipe|engine mount|steering column|engine mounts|fuel hose|oil hose", Tag::Undrawn),
    ("exhaust|exhaust pipe|exhaust hanger|exhaust clamp|tailpipe|tail pipe|muffler|silencer|downpipe|heater hose|radiator|radiator hose|manifold", Tag::Exhaust),
    ("gauge|gauges|instrument|instruments|fuel gauge|temperature gauge|temp gauge|oil gauge|oil pressure gauge|needle|needles|voltmeter|ammeter|tachometer|tacho|rev counter|speedometer|speedo|dash|dashboard|instrument cluster|cluster|radio|stereo|module|modules|ecu|control unit|autopilot|plotter|chart plotter|chartplotter|sounder|depth sounder|head unit|display|screen of the plotter|clock|infotainment|water gauge|water temperature gauge|coolant gauge|vhf|sat nav", Tag::Device(Gauge)),
    ("lamp|lamps|light|lights|headlamp|headlamps|headlight|headlights|dome light|interior light|interior lamp|interior lights|courtesy light|dash lights|dash lamps|panel lights|warning light|warning lights|warning lamp|warning lamps|tail lights|tail lamps|rear lights|rear lamps|side lights|sidelights|brake lights|brake lamps|stop lamps|ignition light|charge light|navigation lights|nav lights|cabin lights|cabin light", Tag::Device(Lamps)),
    ("everything|everything else|everything electric|all electrics|the electrics|all the electrics|electrics|all else|whole car|whole boat|whole vehicle|all the lights and the radio|rest of the electrics", Tag::Device(All)),
    ("horn|heater|heater fan|heater blower|heated screen|heated rear window|blower|blower motor|fan|cooling fan|wiper|wipers|indicator|indicators|turn signal|turn signals|blinker|blinkers|turn indicator|windlass|anchor windlass|winch|bow thruster|thruster|pump|fuel pump|bilge pump|water pump|fridge|air conditioning|aircon|a/c|glow plugs|glow plug|heater plugs|windows|electric windows|power windows|window|window lift|main beam|high beam|full beam|compressor|tail lift|hazard lights|hazards|hazard flashers|sewing machine|inverter|wash wipe|rear window heater|rear defroster|defroster|cigarette lighter", Tag::Device(Other)),
    ("solenoid|starter solenoid|relay|starter relay|start relay|ignition switch|ignition lock|key switch|start switch|start button|starter button|starter switch|neutral switch|inhibitor switch|clutch switch|interlock|immobiliser|immobilizer|trigger wire", Tag::Device(Control)),
    ("fuse|fuses|fuse box|fusebox|fusible link|main fuse|fuse holder|fuse panel", Tag::Device(Fuses)),
    ("battery switch|battery isolator|isolator|isolator switch|kill switch|cut off switch|master switch|disconnect switch|cutoff switch|main switch", Tag::Device(Isolator)),
];

/// Every term by its words.
static BY_WORDS: LazyLock<BTreeMap<&'static str, Tag>> = LazyLock::new(|| {
    let each = |(terms, tag): &'static (&'static str, Tag)| terms.split('|').map(|own| (own, *tag));
    TERMS.iter().flat_map(each).collect()
});

/// What words in lower case with single blanks between them mean.
pub(in super::super) fn tag(words: &str) -> Option<Tag> {
    BY_WORDS.get(words).copied()
}

/// What words tell of a trial: true where it helped, false where it was in vain.
pub(in super::super) fn outcome(words: &str) -> Option<bool> {
    match tag(words)? {
        Tag::Helped => Some(true),
        Tag::Vain => Some(false),
        _ => None,
    }
}
