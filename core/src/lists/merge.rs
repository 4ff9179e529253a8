//! A list into a catalogue that is there already: what is new, what is there, and what the catalogue did not know.

use std::fmt;

use super::ids::Ids;
use super::twins::{SAME_FIELD_ARCSEC, Same, Twins};
use crate::catalogue::{Kind, Target, TargetId, folded_name};
use crate::maths::Vec3;
use crate::place::Source;
use crate::units::SurfaceBrightness;

/// What an entry of the catalogue lacked and a target of the list has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Filled {
    /// Another name or designation.
    Names,
    Size,
    PositionAngle,
    Magnitude,
    SurfaceBrightness,
    SpectralType,
    Pair,
}

impl Filled {
    /// What it is in plain words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Names => "other names",
            Self::Size => "size",
            Self::PositionAngle => "position angle",
            Self::Magnitude => "magnitude",
            Self::SurfaceBrightness => "surface brightness",
            Self::SpectralType => "spectral type",
            Self::Pair => "the pair",
        }
    }
}

/// A target of the list that the catalogue has already.
#[derive(Clone, Debug, PartialEq)]
pub struct Met {
    /// Its name in the list.
    pub name: String,
    /// Its position in the catalogue.
    pub entry: usize,
    /// Its name there.
    pub entry_name: String,
    /// What the entry gains; nothing where only the name is the same.
    pub filled: Vec<Filled>,
    how: Same,
    /// How far away it stands, where that is too far, or it is of another kind, for more than the name to be the same.
    stranger_deg: Option<f64>,
}

impl fmt::Display for Met {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { name, entry_name, filled, how, .. } = self;
        write!(f, "\"{name}\" is \"{entry_name}\"")?;
        match how {
            Same::Place(arcsec) => write!(f, ", {arcsec:.0}″ from it and of the same kind")?,
            Same::Name => write!(f, ", by its name")?,
            Same::OtherName => write!(f, ", by another name and in the same field")?,
        }
        if let Some(degrees) = self.stranger_deg {
            return write!(
                f,
                " alone: it stands {degrees:.2}° away or is of another kind, so nothing is added. Name it apart if it is another"
            );
        }
        if filled.is_empty() {
            return write!(f, ": nothing is added");
        }
        let filled: Vec<&str> = filled.iter().map(|filled| filled.words()).collect();
        write!(f, ": {} added", filled.join(", "))
    }
}

/// A catalogue and a list together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Merged {
    /// The catalogue's targets in their order, with what they lacked, and behind them those that are new.
    pub targets: Vec<Target>,
    /// How many are new.
    pub new_count: usize,
    /// Those of the list that the catalogue has already.
    pub met: Vec<Met>,
}

/// A catalogue that takes the targets of a list, one after the other. What the catalogue says stays; only what it does not
/// know is taken from the list. Identifiers of the catalogue stay, and no new target gets one of them.
#[derive(Debug, Default)]
pub struct Merging {
    entries: Vec<Target>,
    twins: Twins,
    ids: Ids,
    /// Which entry each target is that `twins` counts; those that are new are none.
    counted: Vec<Option<usize>>,
    met: Vec<Met>,
    new_count: usize,
}

impl Merging {
    /// Begins with the catalogue's targets; `unread` are the identifiers of its entries that can't be read.
    pub fn into(entries: Vec<Target>, unread: &[TargetId]) -> Self {
        let mut merging = Self::default();
        for id in unread {
            merging.ids.take(id);
        }
        for (position, target) in entries.iter().enumerate() {
            merging.ids.take(&target.id);
            // Two entries that are the same are the catalogue's own affair.
            let _ = merging.twins.earlier(target);
            merging.count(Some(position));
        }
        merging.entries = entries;
        merging
    }

    /// Takes a target of the list; gives it back with an identifier where the catalogue has none that is the same.
    pub fn take(&mut self, mut target: Target) -> Option<Target> {
        let name = folded_name(&target.name);
        if let Some((earlier, how)) = self.twins.earlier_by_name(&target, &name) {
            let entry = self.counted.get(earlier).copied().flatten()?;
            let known = &mut self.entries[entry];
            let stranger_deg = stranger_deg(known, &target).filter(|_| how == Same::Name);
            let filled = if stranger_deg.is_none() { fill(known, &target) } else { Vec::new() };
            let entry_name = known.name.clone();
            self.met.push(Met { name: target.name, entry, entry_name, filled, how, stranger_deg });
            return None;
        }
        self.count(None);
        self.new_count += 1;
        target.id = self.ids.next(&name);
        Some(target)
    }

    /// The catalogue's targets in their order, with what they lacked; those that are new come behind them.
    pub fn entries(&self) -> &[Target] {
        &self.entries
    }

    /// Those of the list that the catalogue has already.
    pub fn met(&self) -> &[Met] {
        &self.met
    }

    /// How many are new.
    pub const fn new_count(&self) -> usize {
        self.new_count
    }

    /// Notes what the target is that was new to `twins`, if there was one.
    fn count(&mut self, entry: Option<usize>) {
        if self.twins.count() > self.counted.len() {
            self.counted.push(entry);
        }
    }
}

/// The targets of a list put into those of a catalogue, all of them kept; see [`Merging`].
pub fn merged(catalogue: &[Target], list: &[Target]) -> Merged {
    let mut merging = Merging::into(catalogue.to_vec(), &[]);
    let new: Vec<Target> = list.iter().filter_map(|target| merging.take(target.clone())).collect();
    let Merging { mut entries, met, new_count, .. } = merging;
    entries.extend(new);
    Merged { targets: entries, new_count, met }
}

/// How far apart two stand that are not of one kind and in one field.
fn stranger_deg(entry: &Target, target: &Target) -> Option<f64> {
    let direction = |target: &Target| match target.source {
        Source::Star(place) => Some(Vec3::from_spherical(place.right_ascension, place.declination)),
        Source::Body(_) | Source::Comet(_) => None,
    };
    let apart = direction(entry)?.angle_to(direction(target)?);
    (entry.kind != target.kind || apart.arcseconds() > SAME_FIELD_ARCSEC).then(|| apart.degrees())
}

/// Takes over what an entry lacks.
fn fill(entry: &mut Target, from: &Target) -> Vec<Filled> {
    let mut filled = Vec::new();
    let known = |entry: &Target, name: &str| {
        let name = folded_name(name);
        entry.other_names.iter().chain([&entry.name]).any(|known| folded_name(known) == name)
    };
    let names: Vec<String> = from.other_names.iter().chain([&from.name]).cloned().collect();
    for name in names {
        if !known(entry, &name) {
            entry.other_names.push(name);
            if !filled.contains(&Filled::Names) {
                filled.push(Filled::Names);
            }
        }
    }
    let mut note = |what: Filled, is: bool| {
        if is {
            filled.push(what);
        }
    };
    let is_point = matches!(entry.kind, Kind::Star | Kind::DoubleStar);
    if !is_point {
        note(Filled::Size, take(&mut entry.size, from.size.as_ref()));
        note(Filled::PositionAngle, take(&mut entry.position_angle, from.position_angle.as_ref()));
    }
    note(Filled::Magnitude, take(&mut entry.magnitude, from.magnitude.as_ref()));
    // What follows from the entry's own magnitude and size agrees with them; the list may go by others.
    let own = entry
        .magnitude
        .zip(entry.size)
        .map(|(magnitude, (long, short))| SurfaceBrightness::mean(magnitude, long, short));
    let brightness = own.or(from.surface_brightness).filter(|_| !is_point);
    note(Filled::SurfaceBrightness, take(&mut entry.surface_brightness, brightness.as_ref()));
    if entry.kind == from.kind {
        note(Filled::SpectralType, take(&mut entry.spectral_type, from.spectral_type.as_ref()));
        note(Filled::Pair, take(&mut entry.double, from.double.as_ref()));
    }
    filled
}

fn take<T: Clone>(known: &mut Option<T>, from: Option<&T>) -> bool {
    let is_taken = known.is_none() && from.is_some();
    if is_taken {
        *known = from.cloned();
    }
    is_taken
}
