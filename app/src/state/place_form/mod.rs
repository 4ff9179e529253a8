//! A site or a rig as it is being changed: the text of its file, edited value by value, and judged as it is typed by the
//! reader of such files, so that the window and the file say the same of what can be.
//!
//! `field` tells what a value is, `site_fields` and `rig_fields` have all that are asked for; `writing` puts what is typed into the
//! text, `ways` what there is one way or another, `corners` the horizon's corners, `ports` what hangs on the telescope; `flow`
//! asks, takes the answers as one step, and brings other files in.

mod corners;
mod field;
mod flow;
mod ports;
mod ranges;
mod rig_fields;
mod site_fields;
mod ways;
mod writing;

use std::collections::BTreeMap;
use std::path::PathBuf;

use evenfall_core::reading::Fault;
use evenfall_core::reading::edit::{entries_at, value_at, words_at};
use evenfall_core::rig::{Rig, read_rig};
use evenfall_core::sheet::upper_first;
use evenfall_core::site::{Site, read_site};

pub use corners::Corner;
pub use field::{Kind, PlaceField, field_of};
pub use flow::beginning_words;
pub(super) use flow::{
    ask, edit, is_in_the_way, part_written, read_text_of, set, show_again, text_read, write_new,
};
pub use ports::PortKind;

use super::{Judgement, Part, PartFile};
use writing::pair_at;

/// How the name of a choice between ways ends.
const WAY: &str = ".way";

/// A change of the form.
#[derive(Clone, Debug, PartialEq)]
pub enum PlaceEdit {
    /// A value as it is being typed.
    Put(String, String),
    /// One more entry in a list, before a position.
    Add(&'static str, usize),
    /// One more eyepiece on the port at a position.
    AddEyepiece(usize),
    /// One more port.
    AddPort(PortKind),
    /// An entry or a key goes.
    Remove(String),
    /// A corner of the horizon is looked at, by its position in the file.
    LookAtCorner(usize),
    /// It is put somewhere else: azimuth and altitude in degrees.
    MoveCorner(usize, f64, f64),
    /// One more corner, halfway to the next.
    InsertCorner(usize),
    /// A corner goes.
    RemoveCorner(usize),
    /// The horizon that stood before a text was read.
    FormerHorizon,
    /// A file to begin with, by its position among those of the part.
    Begin(usize),
    /// What stood there before.
    Former,
    /// The horizon of a site to begin with.
    BeginHorizon(usize),
}

/// What a file says, read.
#[derive(Clone, Debug, PartialEq)]
enum Read {
    Site(Box<Site>),
    Rig(Box<Rig>),
}

/// The form.
#[derive(Clone, Debug, PartialEq)]
pub struct PlaceForm {
    /// Of what.
    pub part: Part,
    /// The file; what it holds in `on_disk`.
    file: PartFile,
    /// What stands under the evening now, to see what was changed.
    before: (Option<PathBuf>, String),
    text: String,
    /// What was typed, where the text does not show it so.
    typed: BTreeMap<String, String>,
    /// Keys of ways that were left, with their values.
    put_aside: BTreeMap<String, String>,
    faults: Vec<Fault>,
    read: Option<Read>,
    /// What each number takes, in words.
    ranges: BTreeMap<String, String>,
    /// The corner that is looked at, by its position in the file.
    pub corner: usize,
    /// The horizon before a text was read.
    former_horizon: Option<String>,
    /// The text before a file to begin with took its place.
    former: Option<String>,
    /// What was read from a text.
    pub told: Vec<String>,
    /// Why something could not be done.
    pub trouble: Option<String>,
}

impl PlaceForm {
    /// What a file says that reads without a fault.
    pub(super) fn new(part: Part, file: &PartFile) -> Self {
        let mut form = Self {
            part,
            file: file.clone(),
            before: (file.path.clone(), file.text.clone()),
            text: file.text.clone(),
            typed: BTreeMap::new(),
            put_aside: BTreeMap::new(),
            faults: Vec::new(),
            read: None,
            ranges: BTreeMap::new(),
            corner: 0,
            former_horizon: None,
            former: None,
            told: Vec::new(),
            trouble: None,
        };
        form.follow();
        form.find_ranges();
        form
    }

    /// Where the file is.
    pub const fn path(&self) -> Option<&PathBuf> {
        self.file.path.as_ref()
    }

    /// The site as it was last without a fault.
    pub fn site(&self) -> Option<&Site> {
        match &self.read {
            Some(Read::Site(site)) => Some(site),
            _ => None,
        }
    }

    /// The rig as it was last without a fault.
    pub fn rig(&self) -> Option<&Rig> {
        match &self.read {
            Some(Read::Rig(rig)) => Some(rig),
            _ => None,
        }
    }

    /// What stands in a field.
    pub fn shown(&self, name: &str) -> String {
        self.typed.get(name).cloned().unwrap_or_else(|| self.written(name))
    }

    /// What the file says there, as people write it; empty where it says nothing.
    fn written(&self, name: &str) -> String {
        if let Some((pair, of_pair)) = name.split_once('/') {
            let numbers = pair_at(&self.text, pair);
            return numbers.map_or_else(String::new, |(one, other)| {
                (if of_pair == "0" { one } else { other }).to_string()
            });
        }
        match field_of(self.part, name).map(|field| field.kind) {
            Some(Kind::Words | Kind::MaybeWords | Kind::Zone | Kind::MaybeClock | Kind::Port) => {
                words_at(&self.text, name).unwrap_or_default()
            }
            Some(Kind::Way(_)) => self.way(name).to_owned(),
            Some(Kind::Number | Kind::MaybeNumber | Kind::Degrees(..)) => {
                let value = value_at(&self.text, name).unwrap_or_default();
                value.parse::<f64>().map_or_else(|_| value.to_owned(), |number| number.to_string())
            }
            _ => value_at(&self.text, name).unwrap_or_default().to_owned(),
        }
    }

    /// How many entries a list has.
    pub fn entries(&self, list: &str) -> usize {
        entries_at(&self.text, list).unwrap_or(0)
    }

    /// Whether the file has a value there.
    pub fn has(&self, name: &str) -> bool {
        value_at(&self.text, name).is_some()
    }

    /// Whether a file to begin with has taken the place of something.
    pub const fn has_former(&self) -> bool {
        self.former.is_some()
    }

    /// Whether anything was changed.
    pub fn is_changed(&self) -> bool {
        (&self.file.path, &self.text) != (&self.before.0, &self.before.1) || !self.unreadable().is_empty()
    }

    /// Whether the evening can stand on it.
    pub fn can_be_set(&self) -> bool {
        self.is_sound() && self.is_changed()
    }

    /// Whether nothing is wrong.
    pub fn is_sound(&self) -> bool {
        self.faults.is_empty() && self.unreadable().is_empty()
    }

    /// The fields in which something stands that can't be read.
    fn unreadable(&self) -> Vec<&str> {
        let is_wrong = |(name, typed): &(&String, &String)| self.value_of(name, typed).is_err();
        self.typed.iter().filter(is_wrong).map(|(name, _)| name.as_str()).collect()
    }

    /// What is wrong, one a line: with the names of the fields where there are any.
    pub fn wrongs(&self) -> Vec<String> {
        let label = |name: &str| {
            let own = field_of(self.part, name).map(|field| field.label);
            own.map_or_else(|| name.to_owned(), str::to_owned)
        };
        let typed = self.unreadable().into_iter().map(|name| format!("{}: it can't be read.", label(name)));
        let found = self.faults.iter().map(|fault| format!("{}: {}", label(&fault.key), fault_words(fault)));
        typed.chain(found).collect()
    }

    /// Judges what stands in a field.
    pub fn judge(&self, name: &str) -> Judgement {
        if let Some(Err(wrong)) = self.typed.get(name).map(|typed| self.value_of(name, typed)) {
            return Judgement::Wrong(wrong);
        }
        let key = name.split_once('/').map_or(name, |(pair, _)| pair);
        match self.faults.iter().find(|fault| fault.key == key) {
            Some(fault) => Judgement::Wrong(fault_words(fault)),
            None => Judgement::Good(String::new()),
        }
    }

    /// What a field means and takes.
    pub fn help(&self, name: &str) -> String {
        let Some(field) = field_of(self.part, name) else { return String::new() };
        let key = name.split_once('/').map_or(name, |(pair, _)| pair);
        match self.ranges.get(key) {
            Some(range) => format!("{} {range}", field.help),
            None => field.help.to_owned(),
        }
    }

    /// Reads the text as it stands by now.
    fn follow(&mut self) {
        match read(self.part, &self.text) {
            Ok(read) => (self.read, self.faults) = (Some(read), Vec::new()),
            Err(faults) => self.faults = faults,
        }
    }
}

/// Reads a file of a part.
fn read(part: Part, text: &str) -> Result<Read, Vec<Fault>> {
    match part {
        Part::Site => read_site("", text).map(|site| Read::Site(Box::new(site))),
        // Targets have a page of their own.
        Part::Rig | Part::Catalogue => read_rig("", text).map(|rig| Read::Rig(Box::new(rig))),
    }
}

fn fault_words(fault: &Fault) -> String {
    let message = upper_first(&fault.message);
    match fault.remedy.trim_end_matches('.') {
        "" => format!("{message}."),
        remedy => format!("{message}. {remedy}."),
    }
}

#[cfg(test)]
mod tests {
    use super::{PlaceForm, PortKind, field_of};
    use crate::shell::assets::DEMO_PARTS;
    use crate::state::{Judgement, Part, PartFile};

    fn form(part: Part) -> PlaceForm {
        PlaceForm::new(part, &PartFile::read(None, DEMO_PARTS[part as usize].text.to_owned()))
    }

    #[test]
    fn every_number_says_what_it_takes_in_the_words_of_the_reader() {
        for part in Part::ALL {
            let form = form(part);
            for name in form.number_names() {
                // Of a pair one end is asked for.
                let is_whole = field_of(part, &name).is_some();
                let help = form.help(&if is_whole { name.clone() } else { format!("{name}/0") });
                assert!(help.contains("From ") && help.contains(" to "), "{name}: {help}");
            }
        }
        assert!(form(Part::Site).help("latitude_deg").ends_with("From -90 to 90 degrees."));
        assert!(form(Part::Site).help("sun_exclusion_deg").ends_with("From 30 to 180 degrees."));
        assert!(form(Part::Rig).help("ports[2].step_mm").ends_with("From 1 to 10000 millimetres."));
    }

    #[test]
    fn what_is_typed_is_judged_and_only_what_changed_is_written() {
        let mut form = form(Part::Site);
        assert!(form.is_sound() && !form.is_changed());
        form.put("latitude_deg", "55 6 N".to_owned());
        assert!(!form.is_changed(), "that is what it was");
        form.put("latitude_deg", "95".to_owned());
        assert!(
            matches!(form.judge("latitude_deg"), Judgement::Wrong(words) if words.contains("out of range"))
        );
        assert!(!form.can_be_set());
        form.put("latitude_deg", "north".to_owned());
        assert!(!form.can_be_set() && form.wrongs()[0].starts_with("Latitude"));
        form.put("latitude_deg", "54,25".to_owned());
        form.put("sun_exclusion_deg", "20".to_owned());
        assert!(
            matches!(form.judge("sun_exclusion_deg"), Judgement::Wrong(words) if words.contains("floor"))
        );
        form.put("sun_exclusion_deg", "40".to_owned());
        assert!(form.can_be_set());
        let expected = DEMO_PARTS[0].text.replacen("latitude_deg: 55.1,", "latitude_deg: 54.25,", 1);
        assert_eq!(form.text, expected.replacen("sun_exclusion_deg: 30.0", "sun_exclusion_deg: 40.0", 1));
        form.put("park_closes", String::new());
        assert!(form.site().unwrap().park_closes.is_none());
        form.put("park_closes", "25:00".to_owned());
        assert!(matches!(form.judge("park_closes"), Judgement::Wrong(_)));
    }

    #[test]
    fn lists_of_words_grow_and_shrink_also_where_a_file_has_none() {
        let mut form = form(Part::Site);
        form.add("cautions", 4);
        assert!(matches!(form.judge("cautions[4]"), Judgement::Wrong(words) if words.contains("empty")));
        form.put("cautions[4]", "Bats.".to_owned());
        assert_eq!(form.site().unwrap().cautions[4], "Bats.");
        form.remove("cautions[0]");
        assert_eq!(form.shown("cautions[3]"), "Bats.");
        form.add("plan", 5);
        assert!(matches!(form.judge("plan[5].name"), Judgement::Wrong(words) if words.contains("empty")));
        form.put("plan[5].name", "Warm room".to_owned());
        form.put("plan[5].note", "Tea until ten.".to_owned());
        form.put("plan[5].latitude_deg", "55.1009".to_owned());
        let place = &form.site().unwrap().plan[5];
        assert_eq!((place.name.as_str(), place.note.as_str()), ("Warm room", "Tea until ten."));
        assert!((place.longitude.degrees() + 2.5).abs() < 1e-12, "it begins at the telescope");
        form.put("plan[5].note", String::new());
        assert!(form.site().unwrap().plan[5].note.is_empty());
        form.remove("plan");
        form.add("plan", 0);
        assert_eq!(form.entries("plan"), 1);
        form.remove("plan[0]");
        form.remove("visitors");
        assert_eq!(form.entries("visitors.lines"), 0);
        form.add("visitors.lines", 0);
        form.put("visitors.lines[0]", "Park at the gate.".to_owned());
        assert_eq!(form.site().unwrap().visitors.lines, ["Park at the gate."]);
    }

    #[test]
    fn a_port_of_every_kind_can_be_added_and_taken_off() {
        let mut form = form(Part::Rig);
        for kind in PortKind::ALL {
            form.add_port(kind);
            assert!(form.is_sound(), "{:?}", form.wrongs());
        }
        assert_eq!(form.rig().unwrap().ports.len(), 8);
        assert_eq!(form.rig().unwrap().ports[4].id.0, "wide-2");
        form.put("ports[4].camera.sensor_mm/1", "20".to_owned());
        assert_eq!(form.shown("ports[4].camera.sensor_mm/0"), "36");
        form.put("ports[4].camera.binning", "2".to_owned());
        assert!(form.is_sound());
        form.add_eyepiece(2);
        assert_eq!(form.entries("ports[2].eyepieces"), 5);
        assert!(form.is_sound(), "{:?}", form.wrongs());
        for _ in 0..8 {
            form.remove("ports[0]");
        }
        assert!(form.wrongs()[0].contains("There is no port"), "{:?}", form.wrongs());
    }
}
