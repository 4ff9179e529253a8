//! Every question about an evening of one's own: its name, its unit and range, its usual answer.

use std::ops::RangeInclusive;

use evenfall_core::reading::LONGEST_NAME;

/// A kind of port to start from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PortTemplate {
    /// A wide one-shot-colour camera.
    Wide,
    /// A planetary camera.
    Planetary,
    /// Eyepieces.
    Eyepiece,
    /// A spectrograph.
    Spectrograph,
}

impl PortTemplate {
    /// All of them, in the order of the Board.
    pub const ALL: [Self; 4] = [Self::Wide, Self::Planetary, Self::Eyepiece, Self::Spectrograph];

    /// Its name on the Board.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Wide => "Wide camera",
            Self::Planetary => "Planetary camera",
            Self::Eyepiece => "Eyepiece",
            Self::Spectrograph => "Spectrograph",
        }
    }

    /// Its fields.
    pub fn fields(self) -> impl Iterator<Item = OwnField> {
        OwnField::ALL.into_iter().filter(move |field| field.port() == Some(self))
    }
}

/// One question.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum OwnField {
    SiteName,
    Latitude,
    Longitude,
    Height,
    Zone,
    Darkness,
    TelescopeName,
    Aperture,
    FocalLength,
    Obstruction,
    LowestAltitude,
    HighestAltitude,
    WideWidth,
    WideHeight,
    WidePixel,
    PlanetaryWidth,
    PlanetaryHeight,
    PlanetaryPixel,
    EyepieceLengths,
    EyepieceField,
    SpectrumLimit,
    Title,
    Date,
    DoorsOpen,
    DoorsClose,
    Visitors,
    Folder,
}

/// How an answer is read.
pub(super) enum Form {
    /// Words, at most so many characters.
    Words(usize),
    /// An angle with the letters of its sides.
    Degrees(RangeInclusive<f64>, char, char),
    /// A number in a unit.
    Number(RangeInclusive<f64>, &'static str),
    /// A whole number of people.
    People(RangeInclusive<f64>),
    /// Numbers in a unit.
    Numbers(RangeInclusive<f64>, &'static str),
    /// A zone of the IANA database.
    Zone,
    /// A date.
    Date,
    /// A time on the local clock.
    Clock,
    /// A folder.
    Folder,
}

impl OwnField {
    /// All of them, in the order in which they are asked.
    pub const ALL: [Self; 27] = [
        Self::SiteName,
        Self::Latitude,
        Self::Longitude,
        Self::Height,
        Self::Zone,
        Self::Darkness,
        Self::TelescopeName,
        Self::Aperture,
        Self::FocalLength,
        Self::Obstruction,
        Self::LowestAltitude,
        Self::HighestAltitude,
        Self::WideWidth,
        Self::WideHeight,
        Self::WidePixel,
        Self::PlanetaryWidth,
        Self::PlanetaryHeight,
        Self::PlanetaryPixel,
        Self::EyepieceLengths,
        Self::EyepieceField,
        Self::SpectrumLimit,
        Self::Title,
        Self::Date,
        Self::DoorsOpen,
        Self::DoorsClose,
        Self::Visitors,
        Self::Folder,
    ];

    /// The port it belongs to, if it does.
    pub const fn port(self) -> Option<PortTemplate> {
        match self {
            Self::WideWidth | Self::WideHeight | Self::WidePixel => Some(PortTemplate::Wide),
            Self::PlanetaryWidth | Self::PlanetaryHeight | Self::PlanetaryPixel => {
                Some(PortTemplate::Planetary)
            }
            Self::EyepieceLengths | Self::EyepieceField => Some(PortTemplate::Eyepiece),
            Self::SpectrumLimit => Some(PortTemplate::Spectrograph),
            _ => None,
        }
    }

    /// Its name, with the unit.
    pub const fn label(self) -> &'static str {
        match self {
            Self::SiteName => "Name of the site",
            Self::Latitude => "Latitude, degrees",
            Self::Longitude => "Longitude, degrees",
            Self::Height => "Height, metres",
            Self::Zone => "Time zone",
            Self::Darkness => "Darkest sky, mag/arcsec²",
            Self::TelescopeName => "Name of the telescope",
            Self::Aperture => "Aperture, mm",
            Self::FocalLength => "Focal length, mm",
            Self::Obstruction => "Obstruction, %",
            Self::LowestAltitude => "Lowest altitude, degrees",
            Self::HighestAltitude => "Highest altitude, degrees",
            Self::WideWidth => "Wide sensor's width, mm",
            Self::WideHeight => "Wide sensor's height, mm",
            Self::WidePixel => "Wide sensor's pixel, µm",
            Self::PlanetaryWidth => "Planetary sensor's width, mm",
            Self::PlanetaryHeight => "Planetary sensor's height, mm",
            Self::PlanetaryPixel => "Planetary sensor's pixel, µm",
            Self::EyepieceLengths => "Eyepieces' focal lengths, mm",
            Self::EyepieceField => "Apparent field, degrees",
            Self::SpectrumLimit => "Faintest spectrum, magnitude",
            Self::Title => "Title of the evening",
            Self::Date => "Date",
            Self::DoorsOpen => "Doors open",
            Self::DoorsClose => "Doors close",
            Self::Visitors => "Visitors expected",
            Self::Folder => "Folder for the files",
        }
    }

    /// What it means, with its range.
    pub const fn help(self) -> &'static str {
        match self {
            Self::SiteName | Self::Title => "As it is printed on the pages. Up to 60 characters.",
            Self::Latitude => {
                "From -90 to 90, north positive: 55.1, 55 6 N or 33.9 S. A hundredth is plenty."
            }
            Self::Longitude => "From -180 to 180, EAST positive: west of Greenwich is -2.5 or 2.5 W.",
            Self::Height => "Above the sea, from -450 to 6000 m.",
            Self::Zone => "Its IANA name, such as Europe/London. Clock changes follow from it.",
            Self::Darkness => {
                "At the zenith without Moon, from 15 to 22.2: 18 over a town, 21.3 in good country."
            }
            Self::TelescopeName => "As it is printed on the run sheet. Up to 60 characters.",
            Self::Aperture => "Diameter of the main mirror or lens, from 20 to 50000 mm.",
            Self::FocalLength => "As it is at the ports, from 50 to 500000 mm: aperture times focal ratio.",
            Self::Obstruction => {
                "Share of the aperture's diameter that is in shadow, from 0 to 90 %. A lens has 0."
            }
            Self::LowestAltitude => "Below this the telescope does not point, from 0 to 60 degrees.",
            Self::HighestAltitude => "Above this it does not point, from 61 to 90 degrees.",
            Self::WideWidth | Self::PlanetaryWidth => "The long side of the sensor, from 0.5 to 500 mm.",
            Self::WideHeight | Self::PlanetaryHeight => "The short side of the sensor, from 0.5 to 500 mm.",
            Self::WidePixel | Self::PlanetaryPixel => "The side of one pixel, from 0.5 to 50 µm.",
            Self::EyepieceLengths => "All that are in the box, from 1 to 200 mm each: 35, 24, 10.",
            Self::EyepieceField => "As it is printed on them, from 10 to 130 degrees; 50 to 70 is usual.",
            Self::SpectrumLimit => "The faintest star whose spectrum shows within one stop, from -2 to 20.",
            Self::Date => "On which the evening begins, year-month-day, from 1950-01-01 to 2100-12-31.",
            Self::DoorsOpen => "On the local clock, such as 20:30; from noon on.",
            Self::DoorsClose => {
                "On the local clock; before noon is after midnight. An hour to ten hours later."
            }
            Self::Visitors => "How many come in all, from 1 to 1000.",
            Self::Folder => "Made if it is not there. Nothing in it is replaced.",
        }
    }

    /// The answer it has at first.
    pub(super) const fn usual(self) -> &'static str {
        match self {
            Self::SiteName | Self::Latitude | Self::Longitude | Self::Zone | Self::Date | Self::Folder => "",
            Self::Height => "100",
            Self::Darkness => "20.5",
            Self::TelescopeName => "Main telescope",
            Self::Aperture => "400",
            Self::FocalLength => "3200",
            Self::Obstruction => "35",
            Self::LowestAltitude => "15",
            Self::HighestAltitude => "88",
            Self::WideWidth => "23.5",
            Self::WideHeight => "15.6",
            Self::WidePixel => "3.8",
            Self::PlanetaryWidth => "7.4",
            Self::PlanetaryHeight => "5.0",
            Self::PlanetaryPixel => "2.4",
            Self::EyepieceLengths => "35, 24, 13",
            Self::EyepieceField => "68",
            Self::SpectrumLimit => "7",
            Self::Title => "Public star night",
            Self::DoorsOpen => "20:00",
            Self::DoorsClose => "23:00",
            Self::Visitors => "40",
        }
    }

    pub(super) const fn form(self) -> Form {
        match self {
            Self::SiteName | Self::TelescopeName | Self::Title => Form::Words(LONGEST_NAME),
            Self::Latitude => Form::Degrees(-90.0..=90.0, 'N', 'S'),
            Self::Longitude => Form::Degrees(-180.0..=180.0, 'E', 'W'),
            Self::Height => Form::Number(-450.0..=6000.0, "m"),
            Self::Zone => Form::Zone,
            Self::Darkness => Form::Number(15.0..=22.2, "mag/arcsec²"),
            Self::Aperture => Form::Number(20.0..=50_000.0, "mm"),
            Self::FocalLength => Form::Number(50.0..=500_000.0, "mm"),
            Self::Obstruction => Form::Number(0.0..=90.0, "%"),
            Self::LowestAltitude => Form::Number(0.0..=60.0, "degrees"),
            Self::HighestAltitude => Form::Number(61.0..=90.0, "degrees"),
            Self::WideWidth | Self::WideHeight | Self::PlanetaryWidth | Self::PlanetaryHeight => {
                Form::Number(0.5..=500.0, "mm")
            }
            Self::WidePixel | Self::PlanetaryPixel => Form::Number(0.5..=50.0, "µm"),
            Self::EyepieceLengths => Form::Numbers(1.0..=200.0, "mm"),
            Self::EyepieceField => Form::Number(10.0..=130.0, "degrees"),
            Self::SpectrumLimit => Form::Number(-2.0..=20.0, "magnitudes"),
            Self::Date => Form::Date,
            Self::DoorsOpen | Self::DoorsClose => Form::Clock,
            Self::Visitors => Form::People(1.0..=1000.0),
            Self::Folder => Form::Folder,
        }
    }
}
