//! What of the Shelf is listed, and in which order: found when something it depends on has changed, not in every frame.

use std::cmp::Reverse;
use std::sync::Arc;

use evenfall_core::catalogue::{NameIndex, Target};
use evenfall_core::plan::{InSector, Limit, Prepared, ShelfEntry, best_in_sector, shelf, view_then};
use evenfall_core::rig::PortId;
use evenfall_core::sheet::wording::kind_word;
use evenfall_core::time::Instant;
use evenfall_core::units::{Angle, Fraction};

use super::{AppState, ClearPart, OpenEvening, ShelfSort, ShelfView, Stock};

/// A target as it is listed.
#[derive(Clone, Debug, PartialEq)]
pub struct ShelfRow {
    /// Its position in the catalogue.
    pub target_index: usize,
    /// When a stop for it best starts.
    pub best_start: Option<Instant>,
    /// The port for that, by its position on the rig; the best one at the minute where the list keeps to a part of the sky.
    pub port: Option<usize>,
    /// The view on that port.
    pub view: Fraction,
    /// Why it can't be shown.
    pub limit: Option<Limit>,
    /// How long it stays in the clear part, where the list keeps to one.
    pub until: Option<Instant>,
    worth: Fraction,
}

/// The list.
#[derive(Debug, Default)]
pub struct ShelfList {
    /// What is listed, in order.
    pub rows: Vec<ShelfRow>,
    /// Where nothing has the words that are searched for: the nearest words that names have, by which these were found.
    pub nearest: Option<String>,
    /// The port to which the list keeps, by its position on the rig.
    pub port: Option<usize>,
    about: Option<About>,
    names: Option<Names>,
    on_port: Option<OnPort>,
    in_part: Option<InPart>,
}

/// All that a list depends on.
#[derive(Clone, Debug)]
struct About {
    entries: Arc<Vec<ShelfEntry>>,
    search: String,
    show_all: bool,
    shelf: ShelfView,
    clear_part: ClearPart,
    /// The minute that is read, where the list depends on it.
    minute: Option<usize>,
}

impl About {
    fn is_same(&self, other: &Self) -> bool {
        let Self { entries, search, show_all, shelf, clear_part, minute } = self;
        let shelf = ShelfView { open: other.shelf.open, ..shelf.clone() };
        Arc::ptr_eq(entries, &other.entries)
            && (search, show_all, &shelf) == (&other.search, &other.show_all, &other.shelf)
            && (clear_part, minute) == (&other.clear_part, &other.minute)
    }
}

/// The names of a catalogue, ready to be searched and sorted by.
#[derive(Debug)]
struct Names {
    stock: Arc<Stock>,
    index: NameIndex,
    /// The place of each target among all in the order of the alphabet.
    places: Vec<u32>,
}

impl Names {
    fn new(stock: &Arc<Stock>) -> Self {
        let targets = &stock.catalogue.targets;
        let mut order: Vec<(String, u32)> = targets
            .iter()
            .zip(0..)
            .map(|(target, position)| (target.name.to_lowercase(), position))
            .collect();
        order.sort_unstable();
        let mut places = vec![0; targets.len()];
        for (place, (_, position)) in order.into_iter().enumerate() {
            places[position as usize] = place as u32;
        }
        let index = NameIndex::new(&stock.catalogue, |target| kind_word(target.kind).to_owned());
        Self { stock: Arc::clone(stock), index, places }
    }
}

/// The Shelf on one port alone.
#[derive(Debug)]
struct OnPort {
    entries: Arc<Vec<ShelfEntry>>,
    port: usize,
    own: Vec<ShelfEntry>,
}

/// What can be shown in a part of the sky at a minute.
#[derive(Debug)]
struct InPart {
    entries: Arc<Vec<ShelfEntry>>,
    minute: usize,
    clear_part: ClearPart,
    own: Vec<InSector>,
}

impl AppState {
    /// What is listed of the Shelf, as it was after [`Self::list_shelf`].
    pub const fn shelf_list(&self) -> &ShelfList {
        &self.shelf_list
    }

    /// Whether anything keeps the Shelf from being listed as a whole.
    pub fn shelf_is_narrowed(&self) -> bool {
        let ShelfView { now, port, kind, public, .. } = &self.view.shelf;
        let filtered = *now || port.is_some() || kind.is_some() || public.is_some();
        filtered || self.view.clear_part.on || !self.view.show_all || !self.view.search.trim().is_empty()
    }

    /// Lists the Shelf anew if something that the list depends on has changed.
    pub fn list_shelf(&mut self) {
        let at = self.clear_minute();
        let (Some(open), Some(at)) = (&self.open, at) else {
            self.shelf_list = ShelfList::default();
            return;
        };
        let view = &self.view;
        let minute = open.derived.prepared.moment_index(at);
        let depends = view.shelf.now
            || view.clear_part.on
            || matches!(view.shelf.sort, ShelfSort::WorthNow | ShelfSort::AltitudeNow);
        let about = About {
            entries: Arc::clone(&open.derived.shelf),
            search: view.search.clone(),
            show_all: view.show_all,
            shelf: view.shelf.clone(),
            clear_part: view.clear_part,
            minute: depends.then_some(minute),
        };
        if self.shelf_list.about.as_ref().is_some_and(|known| known.is_same(&about)) {
            return;
        }
        self.shelf_list.find(open, at, minute, about);
    }
}

impl ShelfList {
    /// The targets that have a name like this one, whether they are listed or not.
    pub(super) fn named(&self, typed: &str) -> Vec<usize> {
        let found = self.names.as_ref().map(|names| names.index.find(typed));
        let hits = found.map_or_else(Vec::new, |found| found.hits);
        let (in_full, others): (Vec<_>, Vec<_>) = hits.into_iter().partition(|hit| hit.in_full);
        in_full.into_iter().chain(others).map(|hit| hit.target_index).collect()
    }

    fn find(&mut self, open: &OpenEvening, at: Instant, minute: usize, about: About) {
        let stock = &open.document.stock;
        let prepared = &open.derived.prepared;
        let port_of = |id: &PortId| stock.rig.ports.iter().position(|port| port.id == *id);
        self.port = about.shelf.port.as_ref().and_then(port_of);
        let known = self.names.take().filter(|known| Arc::ptr_eq(&known.stock, stock));
        let names = known.unwrap_or_else(|| Names::new(stock));
        let found = (!about.search.trim().is_empty()).then(|| names.index.find(&about.search));
        self.nearest = found.as_ref().and_then(|found| found.nearest.as_ref().map(|words| words.join(" ")));
        let mut hits = vec![found.is_none().then_some(false); stock.catalogue.targets.len()];
        for hit in found.iter().flat_map(|found| &found.hits) {
            hits[hit.target_index] = Some(hit.in_full);
        }
        let rows = if about.clear_part.on {
            self.in_part(open, at, minute, &about)
        } else {
            self.of_evening(open, &about)
        };
        let searched = found.is_some();
        let is_wanted = |row: &ShelfRow, target: &Target| {
            let ShelfView { now, kind, public, .. } = about.shelf;
            let shows_now = || view_then(prepared, row.target_index, at, self.port).is_some();
            hits[row.target_index].is_some()
                && kind.is_none_or(|kind| target.kind == kind)
                && public.is_none_or(|public| target.public() == public)
                && (row.limit.is_none() || (self.port.is_none() && !now && (about.show_all || searched)))
                && (!now || shows_now())
        };
        let targets = &stock.catalogue.targets;
        let mut rows = rows;
        rows.retain(|row| targets.get(row.target_index).is_some_and(|target| is_wanted(row, target)));
        self.rows = sorted(rows, &about, prepared, targets, &names.places, at, self.port);
        // Whoever writes a name out in full looks for that target.
        self.rows.sort_by_key(|row| hits[row.target_index] != Some(true));
        self.names = Some(names);
        self.about = Some(about);
    }

    /// What the whole evening shows, the best first.
    fn of_evening(&mut self, open: &OpenEvening, about: &About) -> Vec<ShelfRow> {
        let row = |entry: &ShelfEntry| ShelfRow {
            target_index: entry.target_index,
            best_start: entry.best_start,
            port: entry.port,
            view: entry.view,
            limit: entry.limit,
            until: None,
            worth: entry.worth,
        };
        let Some(port) = self.port else { return about.entries.iter().map(row).collect() };
        let known = self.on_port.take();
        let known = known.filter(|own| own.port == port && Arc::ptr_eq(&own.entries, &about.entries));
        let on_port = known.unwrap_or_else(|| {
            let materials = open.document.stock.materials();
            let house = &open.document.evening.house;
            let mut own = shelf(house, &open.derived.prepared, &materials, Some(port));
            own.sort_by(|one, other| other.worth.value().total_cmp(&one.worth.value()));
            OnPort { entries: Arc::clone(&about.entries), port, own }
        });
        let rows = on_port.own.iter().map(row).collect();
        self.on_port = Some(on_port);
        rows
    }

    /// What shows in the clear part at the minute, the best first.
    fn in_part(&mut self, open: &OpenEvening, at: Instant, minute: usize, about: &About) -> Vec<ShelfRow> {
        let known = self.in_part.take().filter(|own| {
            (own.minute, own.clear_part) == (minute, about.clear_part)
                && Arc::ptr_eq(&own.entries, &about.entries)
        });
        let (from, to) = about.clear_part.part.ends();
        let in_part = known.unwrap_or_else(|| {
            let materials = open.document.stock.materials();
            let own = best_in_sector(&open.derived.prepared, &materials, at, from, to);
            let entries = Arc::clone(&about.entries);
            InPart { entries, minute, clear_part: about.clear_part, own }
        });
        let ports = &open.document.stock.rig.ports;
        let row = |own: &InSector| ShelfRow {
            target_index: own.target_index,
            best_start: Some(at),
            port: ports.iter().position(|port| port.id == own.port),
            view: own.view,
            limit: None,
            until: Some(own.until),
            worth: own.worth,
        };
        let rows = in_part.own.iter().map(row).filter(|row| {
            let prepared = &open.derived.prepared;
            self.port.is_none_or(|port| view_then(prepared, row.target_index, at, Some(port)).is_some())
        });
        let rows = rows.collect();
        self.in_part = Some(in_part);
        rows
    }
}

/// Rows that come with the best first, in the order that is asked for; equal ones keep theirs.
fn sorted(
    mut rows: Vec<ShelfRow>,
    about: &About,
    prepared: &Prepared,
    targets: &[Target],
    places: &[u32],
    at: Instant,
    port: Option<usize>,
) -> Vec<ShelfRow> {
    let most_first = |value: f64| Reverse((value * 1e6).round() as i64);
    match about.shelf.sort {
        ShelfSort::Worth => {}
        ShelfSort::WorthNow => rows.sort_by_cached_key(|row| {
            let view = view_then(prepared, row.target_index, at, port).map_or(0.0, |(_, view)| view.value());
            most_first(view * targets[row.target_index].appeal.value())
        }),
        ShelfSort::BestTime => rows.sort_by_key(|row| (row.best_start.is_none(), row.best_start)),
        ShelfSort::Name => rows.sort_by_key(|row| places[row.target_index]),
        ShelfSort::AltitudeNow => rows.sort_by_cached_key(|row| {
            let altitude =
                prepared.sample(row.target_index, at).map_or(Angle::ZERO, |sample| sample.altitude);
            most_first(altitude.degrees())
        }),
        ShelfSort::Kind => rows.sort_by_key(|row| targets[row.target_index].kind),
    }
    if about.shelf.reversed {
        rows.reverse();
    }
    if matches!(about.shelf.sort, ShelfSort::Worth | ShelfSort::WorthNow | ShelfSort::BestTime) {
        rows.sort_by_key(|row| row.limit.is_some());
    }
    rows
}
