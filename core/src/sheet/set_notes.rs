//! What whoever writes the pages should know of the whole set: dates that are over, targets that are not in the sky.

use chrono::NaiveDate;

use super::Names;

/// The names of the demonstration's site and catalogue.
const DEMO_SITE: &str = "Heron Fell Country Park";
const DEMO_CATALOGUE: &str = "Heron Fell showpieces";

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// The next dates that are still to come; those that name no full date are believed.
pub(super) fn dates_to_come<'n>(names: &Names<'n>) -> Vec<&'n String> {
    names.evening.next_dates.iter().filter(|date| !is_over(names, date)).collect()
}

/// Each of them as a sentence or two; none for most evenings.
pub fn set_notes(names: &Names<'_>) -> Vec<String> {
    let mut notes = Vec::new();
    let over: Vec<&str> =
        names.evening.next_dates.iter().filter(|date| is_over(names, date)).map(String::as_str).collect();
    if !over.is_empty() {
        notes.push(format!(
            "Not after this evening, so not printed among the next dates: {}. Give later ones with the call.",
            over.join("; ")
        ));
    }
    notes.extend(invented_note(names));
    notes
}

/// Said where the demonstration's invented targets are planned for a site that is not the demonstration's.
pub(super) fn invented_note(names: &Names<'_>) -> Option<String> {
    let (site, catalogue) = (names.materials.site.name.trim(), names.materials.catalogue.name.trim());
    (catalogue == DEMO_CATALOGUE && site != DEMO_SITE).then(|| {
        "The catalogue is the demonstration's: but for Moon, planets and what you put into it yourself, its targets are \
         invented, and nothing stands where the pages say. Put your own catalogue in its place before a real night."
            .to_owned()
    })
}

/// Whether a text names a date that is not after the evening's.
fn is_over(names: &Names<'_>, text: &str) -> bool {
    date_in(text).is_some_and(|date| date <= names.evening.date)
}

/// The last full date in a text: `10 April 2027`, `April 10, 2027` or `2027-04-10`.
fn date_in(text: &str) -> Option<NaiveDate> {
    let is_mark =
        |character: char| character.is_whitespace() || matches!(character, ',' | ';' | ':' | '.' | '(' | ')');
    let words: Vec<&str> = text.split(is_mark).filter(|word| !word.is_empty()).collect();
    let month = |word: &str| {
        let word = word.to_lowercase();
        let named = |month: &&str| **month == word || (word.len() == 3 && month.starts_with(&word));
        MONTHS.iter().position(named).map(|index| index as u32 + 1)
    };
    let written = |three: &[&str]| {
        let year: i32 = three[2].parse().ok().filter(|_| three[2].len() == 4)?;
        let (day, month) = match (month(three[0]), month(three[1])) {
            (None, Some(month)) => (three[0], month),
            (Some(month), None) => (three[1], month),
            _ => return None,
        };
        let day = day.trim_end_matches(|letter: char| letter.is_alphabetic()).parse().ok()?;
        NaiveDate::from_ymd_opt(year, month, day)
    };
    let plain = words.iter().filter_map(|word| word.parse().ok());
    words.windows(3).filter_map(written).chain(plain).max()
}

#[cfg(test)]
mod tests {
    use super::{date_in, set_notes};
    use crate::sheet::demo::Demo;

    #[test]
    fn dates_are_read_as_people_write_them() {
        let april = "2027-04-10".parse().ok();
        for text in [
            "Saturday 10 April 2027, 20:30: planets",
            "Sat. 10th Apr 2027",
            "April 10, 2027: planets",
            "from 2027-04-10, 20:30",
            "Fridays, 5 March 2027 to 10 April 2027",
        ] {
            assert_eq!(date_in(text), april, "{text}");
        }
        for text in ["Friday 9 April, 20:30", "each new Moon", "31 June 2027", "", "room 12 2027"] {
            assert_eq!(date_in(text), None, "{text}");
        }
    }

    #[test]
    fn what_is_over_and_what_is_invented_is_told() {
        let (mut demo, prepared) = Demo::on("2027-03-13").drafted();
        let notes = |demo: &Demo| {
            let mut notes = Vec::new();
            demo.with_names(&prepared, |names| notes = set_notes(names));
            notes
        };
        assert_eq!(notes(&demo), Vec::<String>::new());
        demo.evening.next_dates.push("13 March 2027: tonight".into());
        let told = notes(&demo);
        assert!(told.len() == 1 && told[0].contains("13 March 2027: tonight"), "{told:?}");
    }
}
