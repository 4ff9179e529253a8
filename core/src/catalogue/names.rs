//! Targets found by any form of their names: other names, designations however they are written, words in any order, and
//! small slips of the pen.

use std::collections::HashMap;

use strsim::damerau_levenshtein;

use super::fold::{Piece, pieces};
use super::{Catalogue, Target};

/// Words that may be left out of a name.
const SMALL_WORDS: [&str; 3] = ["the", "of", "and"];
/// From this length on a word is also found in the middle of another.
const INSIDE_FROM: usize = 3;
/// From this length on a word before a number need not be written out.
const BEGUN_FROM: usize = 3;
/// From these lengths on a word may have one letter wrong, missing, surplus or swapped, and two.
const SLIPS_FROM: (usize, usize) = (4, 7);

/// The names of a catalogue, made ready once to be searched at every key that is pressed.
#[derive(Clone, Debug, Default)]
pub struct NameIndex {
    /// Every word and number of all names, each once.
    words: Vec<Piece>,
    /// Names one after the other, as positions in `words`.
    pieces: Vec<u32>,
    /// Where each name ends in `pieces`.
    names: Vec<u32>,
    /// Where the names of each target end in `names`.
    targets: Vec<u32>,
}

/// A target that was found.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hit {
    /// Its position in the catalogue.
    pub target_index: usize,
    /// Whether one of its names was written out in full.
    pub in_full: bool,
}

/// What a search found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Found {
    /// Targets in the order of the catalogue.
    pub hits: Vec<Hit>,
    /// Where nothing has the words as they were written: the nearest words that names have, in the order they were
    /// written. What was found is found by those.
    pub nearest: Option<Vec<String>>,
}

/// How well a word of the catalogue is what was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Match {
    Not,
    /// Somewhere within.
    Inside,
    /// So it begins.
    Begun,
    Whole,
}

impl NameIndex {
    /// The index of a catalogue: names, other names, and what `also` adds to each target (such as the word for its kind),
    /// which is found like a name but never in full.
    pub fn new(catalogue: &Catalogue, also: impl Fn(&Target) -> String) -> Self {
        let mut index = Self::default();
        let mut known: HashMap<Piece, u32> = HashMap::new();
        for target in &catalogue.targets {
            let also = also(target);
            // What is added stands last.
            for name in [&target.name].into_iter().chain(&target.other_names).chain([&also]) {
                for piece in pieces(name) {
                    let next = index.words.len() as u32;
                    let word = *known.entry(piece).or_insert_with_key(|piece| {
                        index.words.push(piece.clone());
                        next
                    });
                    index.pieces.push(word);
                }
                index.names.push(index.pieces.len() as u32);
            }
            index.targets.push(index.names.len() as u32);
        }
        index
    }

    /// The targets that have everything that is written, in any order. A number belongs to the word before it; it must be
    /// the whole number. Nothing written finds every target.
    pub fn find(&self, written: &str) -> Found {
        let asked = self.asked(written);
        let hits = self.having(&asked);
        if !hits.is_empty() || asked.is_empty() {
            return Found { hits, nearest: None };
        }
        let Some(nearest) = self.nearest(&asked) else { return Found::default() };
        let hits = self.having(&nearest);
        let nearest = (!hits.is_empty()).then(|| nearest.into_iter().map(|piece| piece.text).collect());
        Found { hits, nearest }
    }

    /// What is asked for: small words left out unless there are no others, and what was written in one cut where names
    /// have it in two.
    fn asked(&self, written: &str) -> Vec<Piece> {
        let mut asked = pieces(written);
        let is_small = |piece: &Piece| SMALL_WORDS.contains(&piece.text.as_str());
        if !asked.iter().all(is_small) {
            asked.retain(|piece| !is_small(piece));
        }
        asked.into_iter().flat_map(|piece| self.cut(piece)).collect()
    }

    /// A word that no name has, in two that names have: the second may be begun only.
    fn cut(&self, piece: Piece) -> Vec<Piece> {
        if piece.number || self.words.iter().any(|word| matching(&piece, word) != Match::Not) {
            return vec![piece];
        }
        let has = |text: &str, least: Match| {
            let part = Piece { text: text.to_owned(), number: false };
            self.words.iter().any(|word| matching(&part, word) >= least).then_some(part)
        };
        let places: Vec<usize> = piece.text.char_indices().map(|(at, _)| at).skip(INSIDE_FROM).collect();
        let cut = places.into_iter().rev().skip(INSIDE_FROM - 1).find_map(|at| {
            let (before, after) = piece.text.split_at(at);
            Some(vec![has(before, Match::Whole)?, has(after, Match::Begun)?])
        });
        cut.unwrap_or_else(|| vec![piece])
    }

    fn having(&self, asked: &[Piece]) -> Vec<Hit> {
        let matches: Vec<Vec<Match>> =
            asked.iter().map(|piece| self.words.iter().map(|word| matching(piece, word)).collect()).collect();
        let mut first = 0;
        let hits = self.targets.iter().enumerate().filter_map(|(target_index, end)| {
            let names = first..*end as usize;
            first = *end as usize;
            let own = names.clone().map(|name| self.name(name));
            let has_all = (0..asked.len()).all(|position| {
                let mut own = own.clone();
                own.any(|name| has(asked, &matches, position, name))
            });
            // The last one is what was added to the names.
            let mut full = own.take(names.len().saturating_sub(1));
            let mut in_full =
                || !asked.is_empty() && full.any(|name| is_in_full(&self.words, asked, &matches, name));
            has_all.then(|| Hit { target_index, in_full: in_full() })
        });
        hits.collect()
    }

    fn name(&self, name: usize) -> &[u32] {
        let from = name.checked_sub(1).map_or(0, |before| self.names[before] as usize);
        &self.pieces[from..self.names[name] as usize]
    }

    /// The same with each word that no name has changed for the nearest that names have; `None` where one is too far from
    /// any, and where no word was changed.
    fn nearest(&self, asked: &[Piece]) -> Option<Vec<Piece>> {
        let mut changed = false;
        let nearest: Option<Vec<Piece>> = asked
            .iter()
            .map(|piece| {
                if self.words.iter().any(|word| matching(piece, word) != Match::Not) {
                    return Some(piece.clone());
                }
                changed = true;
                self.slip_of(piece)
            })
            .collect();
        nearest.filter(|_| changed)
    }

    /// The word of which another is a slip of the pen; numbers have none.
    fn slip_of(&self, piece: &Piece) -> Option<Piece> {
        let length = piece.text.chars().count();
        let most = usize::from(length >= SLIPS_FROM.0) + usize::from(length >= SLIPS_FROM.1);
        if piece.number || most == 0 {
            return None;
        }
        let near = self.words.iter().filter(|word| !word.number);
        let near = near.filter(|word| word.text.chars().count().abs_diff(length) <= most);
        let slips = near.map(|word| (damerau_levenshtein(&piece.text, &word.text), word));
        let (slips, nearest) = slips.min_by_key(|(slips, _)| *slips)?;
        (slips <= most).then(|| nearest.clone())
    }
}

/// Whether a name has what is asked at a position: a word anywhere, a number after the word it was written after.
fn has(asked: &[Piece], matches: &[Vec<Match>], position: usize, name: &[u32]) -> bool {
    let at = |position: usize, word: u32| matches[position][word as usize];
    let follows = asked.get(position + 1).is_some_and(|next| next.number) && !asked[position].number;
    if asked[position].number && position > 0 && !asked[position - 1].number {
        // Told together with the word before it.
        return true;
    }
    if !follows {
        return name.iter().any(|word| at(position, *word) != Match::Not);
    }
    let begun = asked[position].text.chars().count() >= BEGUN_FROM;
    name.windows(2).any(|pair| {
        let word = at(position, pair[0]);
        (word == Match::Whole || (begun && word == Match::Begun)) && at(position + 1, pair[1]) == Match::Whole
    })
}

/// Whether a name, small words left out, is what is asked, word for word.
fn is_in_full(words: &[Piece], asked: &[Piece], matches: &[Vec<Match>], name: &[u32]) -> bool {
    let is_small = |word: &&u32| SMALL_WORDS.contains(&words[**word as usize].text.as_str());
    let own = || name.iter().filter(|word| !is_small(word));
    own().count() == asked.len() && own().zip(matches).all(|(word, own)| own[*word as usize] == Match::Whole)
}

fn matching(asked: &Piece, word: &Piece) -> Match {
    if asked.number != word.number {
        return Match::Not;
    }
    if asked.text == word.text {
        Match::Whole
    } else if asked.number {
        Match::Not
    } else if word.text.starts_with(&asked.text) {
        Match::Begun
    } else if asked.text.len() >= INSIDE_FROM && word.text.contains(&asked.text) {
        Match::Inside
    } else {
        Match::Not
    }
}

#[cfg(test)]
mod tests {
    use super::{Found, NameIndex};
    use crate::catalogue::read_catalogue;

    /// Invented entries; the forms of their designations are those that catalogues use.
    fn index() -> NameIndex {
        let target = |id: &str, name: &str, other: &str, kind: &str| {
            format!(
                "(id: \"{id}\", name: \"{name}\", other_names: [{other}], kind: {kind}, ra_deg: 1.0, dec_deg: 1.0, \
                 appeal: 1.0, line: \"A line.\", comparison: \"Far.\", look_for: \"It.\", cue: \"Look.\"),"
            )
        };
        let targets = [
            target("a", "Miller's Lantern", "\"EV 57\", \"QRX 6720\", \"The Tin Ring\"", "PlanetaryNebula"),
            target("b", "Lantern Drift", "\"EV 5\", \"QRX 672\"", "OpenCluster"),
            target("c", "Bläckbird’s Nest", "\"EV 570\", \"α Heronis\"", "Galaxy"),
            target("d", "Marigold and Speedwell", "\"Upper 57\"", "Star"),
        ];
        let text = format!(
            "(format: \"evenfall-catalogue/1\", name: \"Invented\", targets: [{}])",
            targets.concat()
        );
        let (catalogue, faults) = read_catalogue("invented", &text);
        assert_eq!(faults, []);
        NameIndex::new(&catalogue, |target| format!("{:?}", target.kind))
    }

    fn found(written: &str) -> Vec<usize> {
        let Found { hits, nearest } = index().find(written);
        assert_eq!(nearest, None, "{written}");
        hits.into_iter().map(|hit| hit.target_index).collect()
    }

    #[test]
    fn every_common_form_of_a_designation_finds_the_same() {
        // Row 18 of what is asked of the catalogue: a common name and two designations find one object.
        for written in
            ["EV57", "ev 57", "ev057", "Ev-0057", "qrx6720", "QRX 6720", "tin ring", "ring", "lantern ev 57"]
        {
            assert_eq!(found(written), [0], "{written}");
        }
        // The number is the whole number, and belongs to the word before it.
        assert_eq!(found("ev 5"), [1]);
        assert_eq!(found("qrx 672"), [1]);
        assert_eq!(found("up 57"), [] as [usize; 0]);
        assert_eq!(found("upp 57"), [3]);
        assert_eq!(found("57"), [0, 3]);
    }

    #[test]
    fn words_come_in_any_order_begun_or_in_one() {
        assert_eq!(found("drift lantern"), [1]);
        assert_eq!(found("lant"), [0, 1]);
        assert_eq!(found("LANTERNDRIFT"), [1]);
        assert_eq!(found("speedwell marigold"), [3]);
        assert_eq!(found("the drift of lantern"), [1]);
        assert_eq!(found("blackbirds nest"), [2]);
        assert_eq!(found("alpha heronis"), [2]);
        assert_eq!(found("α heronis"), [2]);
        assert_eq!(found("cluster lantern"), [1]);
        assert_eq!(found("galaxy"), [2]);
        assert_eq!(found(""), [0, 1, 2, 3]);
        assert_eq!(found(" - "), [0, 1, 2, 3]);
    }

    #[test]
    fn a_slip_is_mended_and_told() {
        let mended = index().find("lanturn drift");
        assert_eq!(mended.nearest, Some(vec!["lantern".to_owned(), "drift".to_owned()]));
        assert_eq!(mended.hits.iter().map(|hit| hit.target_index).collect::<Vec<_>>(), [1]);
        // A letter missing, a letter surplus, two swapped.
        for written in ["marigld", "speedwelll", "blakcbirds"] {
            assert_eq!(index().find(written).hits.len(), 1, "{written}");
            assert!(index().find(written).nearest.is_some(), "{written}");
        }
        // Numbers and short words have no slips; what is far is not found.
        for written in ["ev 58", "xyz", "zeppelin", "ring 57"] {
            assert_eq!(index().find(written), Found::default(), "{written}");
        }
    }

    #[test]
    fn a_name_in_full_is_told_from_one_begun() {
        let full = |written: &str| {
            index()
                .find(written)
                .hits
                .iter()
                .filter(|hit| hit.in_full)
                .map(|hit| hit.target_index)
                .collect::<Vec<_>>()
        };
        assert_eq!(full("lantern drift"), [1]);
        assert_eq!(full("ev 57"), [0]);
        assert_eq!(full("marigold speedwell"), [3]);
        assert_eq!(full("lantern"), [] as [usize; 0]);
        assert_eq!(full("opencluster"), [] as [usize; 0]);
    }
}
