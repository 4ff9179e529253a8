//! RON to an evening: strict, every fault with its place.

use super::call::{read_call, read_next_dates};
use super::names::LONGEST_FILE_NAME;
use super::read_house::read_house;
use super::read_order::{order, versions};
use super::read_wishes::read_wishes;
use crate::catalogue::TargetId;
use crate::earth::EarthOrientation;
use crate::plan::edit::MOST_SLACK_PERCENT;
use crate::plan::{
    Evening, FixedEntry, HEAVIEST_RULE_PERCENT, LONGEST_VERSION_NAME, OrderRule, OrderRules, Programme,
};
use crate::reading::{Faults, Fields, read_whole};
use crate::units::Angle;

/// The first line of an evening file says this.
pub const EVENING_FORMAT: &str = "evenfall-evening/1";

/// The longest cue, in characters.
pub(super) const LONGEST_CUE: usize = 90;

/// Reads an evening. Its stops are kept in local time with offset and zone, so the file alone is enough.
///
/// # Errors
/// All faults found.
pub fn read_evening(file: &str, text: &str) -> Result<Evening, Faults> {
    read_whole(file, text, EVENING_FORMAT, evening)
}

pub(super) fn evening(fields: &Fields<'_>) -> Option<Evening> {
    let title = fields.name("title");
    let date = fields.date("date");
    let site_file = fields.text("site", LONGEST_FILE_NAME);
    let rig_file = fields.text("rig", LONGEST_FILE_NAME);
    let catalogue_file = fields.text("catalogue", LONGEST_FILE_NAME);
    let house = fields.group("house", |house| Some(read_house(house)));
    let programme = fields.group("programme", programme);
    let wishes = fields.optional_group("wishes", |wishes| Some(read_wishes(wishes))).unwrap_or_default();
    let rules = fields.optional_group("rules", |rules| Some(read_rules(rules))).unwrap_or_default();
    let call = fields.optional_group("call", |call| Some(read_call(call))).unwrap_or_default();
    let next_dates = read_next_dates(fields);
    let orientation = fields.optional_group("earth_orientation", |fields| Some(orientation(fields)));
    let order = order(fields);
    let version = fields.optional_text("version", LONGEST_VERSION_NAME).unwrap_or_default();
    let versions = if fields.has("versions") { versions(fields, &version) } else { Vec::new() };
    let shown = if fields.has("shown") { fields.identifiers("shown") } else { Vec::new() };
    Some(Evening {
        title,
        date: date?,
        site_file,
        rig_file,
        catalogue_file,
        house: house?,
        programme: programme?,
        wishes,
        rules,
        call,
        next_dates,
        orientation: orientation.unwrap_or_default(),
        order,
        version,
        versions,
        shown: shown.into_iter().map(TargetId).collect(),
    })
}

fn programme(programme: &Fields<'_>) -> Option<Programme> {
    let doors_open = programme.clock_time("doors_open");
    let doors_close = programme.clock_time("doors_close");
    if doors_open.is_some() && doors_open == doors_close {
        programme.fault("doors_close", "doors close when they open", "Give a later time");
    }
    let fixed = programme.entries("fixed", |entry| {
        let title = entry.name("title");
        let kind = entry.word("kind");
        let start = entry.clock_time("start");
        let minutes = entry.number("minutes", 1.0..=600.0);
        let cue = entry.optional_text("cue", LONGEST_CUE).unwrap_or_default();
        Some(FixedEntry { title, kind: kind?, start: start?, minutes, cue })
    });
    Some(Programme {
        doors_open: doors_open?,
        doors_close: doors_close?,
        fixed: fixed.into_iter().map(|(_, entry)| entry).collect(),
        slack_percent: programme.number("slack_percent", 0.0..=MOST_SLACK_PERCENT),
    })
}

/// The key of a rule's weight.
pub(super) const fn rule_key(rule: OrderRule) -> &'static str {
    match rule {
        OrderRule::BrightFirst => "bright_first_percent",
        OrderRule::SetsFirst => "sets_first_percent",
        OrderRule::ChildrenFirst => "children_first_percent",
        OrderRule::FaintApart => "faint_apart_percent",
        OrderRule::InTurn => "in_turn_percent",
        OrderRule::Crescendo => "crescendo_percent",
        OrderRule::FavouriteLast => "favourite_last_percent",
    }
}

fn read_rules(fields: &Fields<'_>) -> OrderRules {
    let mut rules = OrderRules::default();
    for rule in OrderRule::ALL {
        let weight = fields.optional_count(rule_key(rule), 0..=u32::from(HEAVIEST_RULE_PERCENT));
        if let Some(percent) = weight.and_then(|percent| u8::try_from(percent).ok()) {
            rules.set(rule, percent);
        }
    }
    if let Some(bedtime) = fields.optional_clock_time("bedtime") {
        rules.bedtime = bedtime;
    }
    rules
}

fn orientation(fields: &Fields<'_>) -> EarthOrientation {
    let number = |key, limit: f64| fields.optional_number(key, -limit..=limit).unwrap_or(0.0);
    EarthOrientation {
        ut1_minus_utc_s: number("ut1_minus_utc_s", 1.0),
        pole_x: Angle::from_arcseconds(number("pole_x_arcsec", 1.0)),
        pole_y: Angle::from_arcseconds(number("pole_y_arcsec", 1.0)),
    }
}

#[cfg(test)]
mod tests {
    use super::read_evening;
    use crate::catalogue::read_catalogue;
    use crate::plan::OrderRules;
    use crate::rig::read_rig;
    use crate::site::read_site;

    const DEMO: &str = include_str!("../../../catalog-demo/heron-fell.evening.ron");
    const DEMO_FILES: [&str; 4] = [
        DEMO,
        include_str!("../../../catalog-demo/heron-fell.site.ron"),
        include_str!("../../../catalog-demo/heron-fell.rig.ron"),
        include_str!("../../../catalog-demo/heron-fell.catalogue.ron"),
    ];

    fn fault(from: &str, to: &str) -> String {
        assert!(DEMO.contains(from), "{from}");
        let faults = read_evening("e", &DEMO.replacen(from, to, 1)).unwrap_err();
        faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
    }

    #[test]
    fn faults_say_what_to_do() {
        assert!(fault("2027-03-13", "2027-02-30").contains("\"2027-02-30\" is no date"));
        assert!(fault("\"18:30\"", "\"25:30\"").contains("\"25:30\" is no clock time"));
        assert!(fault("children: 20", "children: 61").contains("more than all visitors"));
        let backwards = "seated: 2, arrivals: [(from_min: 45, until_min: 30, percent: 100)]";
        assert!(
            fault("seated: 2", backwards)
                .contains("the last of them, at 30 min, before the first, at 45 min")
        );
        assert!(fault("visitors: 60", "visitors: 10000").contains("house.visitors: 10000 is out of range"));
        assert!(fault("look: 30.0", "look: 0").contains("house.seconds_a_look: 0 is out of range"));
        let twice = "seated: 2, seconds_by_kind: [(kind: Moon, seconds: 20), (kind: Moon, seconds: 0)]";
        let twice = fault("seated: 2", twice);
        assert!(twice.contains("seconds_by_kind[1].kind: Moon has its seconds already"), "{twice}");
        assert!(twice.contains("seconds_by_kind[1].seconds: 0 is out of range"), "{twice}");
        let early = "seated: 2, leaving: [(from_min: 30, until_min: 60, percent: 60), (from_min: 0, until_min: 0, percent: 20)]";
        let early = fault("seated: 2", early);
        let told =
            "house.leaving[1]: 20 percent have left by 0 min after doors open, when 12 percent have come";
        assert!(early.contains(told), "{early}");
        let many = "seated: 2, leaving: [(from_min: 150, until_min: 160, percent: 60), (from_min: 200, until_min: 200, percent: 60)]";
        assert!(fault("seated: 2", many).contains("house.leaving: 120 percent of the visitors leave in all"));
        assert!(fault("kind: Welcome", "kind: Welcom").contains("Did you mean `Welcome`?"));
        let weight = fault("in_turn_percent: 20", "in_turn_percent: 120");
        assert!(weight.contains("rules.in_turn_percent: 120 is out of range"), "{weight}");
        assert!(weight.contains("Give a whole number from 0 to 100 percent"), "{weight}");
        let weight = fault("in_turn_percent: 20", "in_turns_percent: 20");
        assert!(weight.contains("rules.in_turns_percent: there is no key"), "{weight}");
        assert!(weight.contains("Did you mean `in_turn_percent`?"), "{weight}");
        let cloud = |part: &str| fault("closed_sky: []", &format!("closed_sky: [({part})]"));
        let wide = cloud("from_deg: 90, to_deg: 365");
        assert!(wide.contains("wishes.closed_sky[0].to_deg: 365 is out of range"), "{wide}");
        assert!(wide.contains("Give a number from 0 to 360 degrees"), "{wide}");
        let backwards = cloud("from_deg: 90, to_deg: 180, since: \"00:10\", until: \"22:10\"");
        assert!(backwards.contains("closed_sky[0].until: that part of the sky opens again"), "{backwards}");
        let unknown = cloud("from_deg: 90, to_deg: 180, untill: \"22:10\"");
        assert!(unknown.contains("Did you mean `until`?"), "{unknown}");
        let stop =
            "(id: 1, start: \"2027-03-13T20:40:00\", end: \"2027-03-13T20:40:00+00:00\", target: \"moon\")";
        let faults = fault("order: []", &format!("order: [{stop}]"));
        assert!(faults.contains("order[0].start: \"2027-03-13T20:40:00\" is no date and time"), "{faults}");
        assert!(faults.contains("order[0].port: the key is missing"), "{faults}");
    }

    #[test]
    fn a_file_without_rules_and_closed_sky_has_the_usual_ones() {
        let from = DEMO.find("  // How much the trade's rules").unwrap();
        let to = DEMO.find("  // The running order.").unwrap();
        let old = format!("{}{}", &DEMO[..from], &DEMO[to..]).replacen("    closed_sky: [],\n", "", 1);
        assert!(!old.contains("rules: (") && !old.contains("closed_sky: []"), "{old}");
        let evening = read_evening("e", &old).unwrap();
        assert_eq!(evening.rules, OrderRules::default());
        assert_eq!(evening.wishes.closed_sky, []);
        let part = "closed_sky: [(from_deg: 90, to_deg: 180, since: \"01:30\", until: \"01:40\")]";
        let before = DEMO.replacen("closed_sky: []", part, 1);
        let closed = read_evening("e", &before).unwrap().wishes.closed_sky;
        assert!(closed.len() == 1 && !closed[0].since_again && !closed[0].until_again, "the first of two");
        let some = DEMO.replacen("sets_first_percent: 15, ", "", 1).replacen(
            "crescendo_percent: 25",
            "crescendo_percent: 0",
            1,
        );
        let rules = read_evening("e", &some).unwrap().rules;
        assert_eq!(rules, OrderRules { crescendo: 0, ..OrderRules::default() });
    }

    #[test]
    fn only_an_id_that_was_given_can_be_given_twice() {
        let talk = "start: \"2027-03-13T20:40:00+00:00\", end: \"2027-03-13T20:50:00+00:00\", entry: Talk, title: \"T\", cue: \"\"";
        let order = |ids: &[&str]| {
            let stops: Vec<String> = ids.iter().map(|id| format!("({id}{talk})")).collect();
            fault("order: []", &format!("order: [{}]", stops.join(", ")))
        };
        let without = order(&["", "", "id: 1, "]);
        assert_eq!(without.matches("id: the key is missing").count(), 2, "{without}");
        assert!(!without.contains("another stop"), "{without}");
        let out_of_range = order(&["id: 0, ", "id: 1, "]);
        assert!(!out_of_range.contains("another stop"), "{out_of_range}");
        assert!(order(&["id: 7, ", "id: 7, "]).contains("order[1].id: another stop has this id"));
    }

    #[test]
    fn stops_outside_the_ephemeris_are_refused_with_their_place() {
        for (start, end) in [
            ("0001-01-01T20:40:00+00:00", "2027-03-13T21:00:00+00:00"),
            ("1948-12-31T20:40:00+00:00", "1948-12-31T21:00:00+00:00"),
            ("2102-01-01T20:40:00+00:00", "2102-01-01T21:00:00+00:00"),
        ] {
            let stop = format!("(id: 1, entry: Talk, title: \"Talk\", start: \"{start}\", end: \"{end}\")");
            let text = DEMO.replacen("order: []", &format!("order: [\n{stop}]"), 1);
            let faults = read_evening("e", &text).unwrap_err();
            let line = text.lines().position(|line| line.contains("0:00+00:00")).unwrap() + 1;
            let column = stop.find(&format!("\"{start}")).unwrap() + 1;
            assert_eq!((faults[0].line, faults[0].column, &*faults[0].key), (line, column, "order[0].start"));
            assert!(faults[0].message.ends_with("is outside the years 1949 to 2101"), "{}", faults[0]);
        }
    }

    /// Reads a text as each kind of file and checks that every place lies inside it.
    fn read_as_everything(text: &str) {
        let lines = text.split('\n').count();
        let faults = [
            read_evening("e", text).err(),
            read_site("s", text).err(),
            read_rig("r", text).err(),
            Some(read_catalogue("c", text).1),
        ];
        for fault in faults.into_iter().flatten().flatten() {
            assert!((1..=lines).contains(&fault.line) && fault.column >= 1, "{fault}");
        }
    }

    #[test]
    fn no_damage_to_a_file_makes_a_reader_panic() {
        // A linear congruential generator (Knuth, TAOCP vol. 2, 3.3.4, line 26): the same damage every time.
        let mut state = 20_270_313_u64;
        let mut random = |below: usize| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (state >> 33) as usize % below
        };
        for demo in DEMO_FILES {
            let letters: Vec<char> = demo.chars().take(9000).collect();
            for _ in 0..60 {
                read_as_everything(&letters[..random(letters.len())].iter().collect::<String>());
                let mut damaged = letters.clone();
                for _ in 0..=random(3) {
                    let place = random(damaged.len());
                    damaged[place] =
                        ['(', ')', '[', '"', '\\', ',', ':', '9', '-', 'é', '\0', '/'][random(12)];
                }
                read_as_everything(&damaged.into_iter().collect::<String>());
            }
        }
    }
}
