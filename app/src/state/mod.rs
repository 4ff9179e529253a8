//! What the window shows and does, without a window: document, what follows from it, view, commands.
//!
//! Read [`Document`] (what is saved), [`Derived`] (what follows from it), [`Told`] (the chain of the one
//! target looked at), [`View`] (what is looked at), [`ShelfList`] (what of the Shelf is listed), then
//! [`Command`] (every intent) and [`apply`], the one function that changes an [`AppState`]. Slow work goes to
//! the [`Worker`] (a `desk` at which [`Job`]s are done), where `drafter` makes drafts better slice by slice; [`Appraisal`] says how good the order on the Board
//! is. What the evening is printed and sent as is chosen and written by `pages`. The outside world is reached through [`Outside`] only.

mod account;
mod answers;
mod app_state;
mod apply;
mod appraisal;
mod call_form;
mod catalogue_change;
mod command;
mod derived;
mod desk;
mod document;
mod drafter;
mod drafting;
mod drag;
mod edits;
mod errand;
mod explainer;
mod history;
mod house_form;
mod insert_form;
mod job;
mod keeping;
mod kept_orders;
mod list_form;
mod order_facts;
mod outside;
mod own_evening;
mod pages;
mod part_file;
mod paths;
mod pick_up_form;
mod place_form;
mod problem;
mod remembering;
mod rules;
mod settings;
mod shaping;
mod shelf_list;
mod skies;
mod target_form;
mod told;
mod view;
mod wishes_form;
mod worker;

pub use account::Account;
pub use app_state::{AppState, OpenEvening, Pending};
pub use apply::apply;
pub use appraisal::{Appraisal, Effort, Quality, Stage};
pub use call_form::CallForm;
pub use command::{Command, PathUse};
pub use derived::Derived;
pub use document::{Document, Stock};
pub use drag::{Drag, Dragged, Edge, Spot, Trial};
pub use history::{History, Merge, StepName, Version, Way};
pub use house_form::{
    CrowdWay, HouseFault, HouseForm, LOOK_SECONDS, MOST_PARTS, PART_MINUTES, PART_PERCENT, SCREEN_MINUTES,
};
pub use insert_form::{INSERT_MINUTES, InsertForm, usual_title};
pub use job::{Answer, Appraise, Doing, DraftWish, Job, LaidOut, Source, Stands};
pub use list_form::{KeptMapping, ListAsked, ListEdit, ListForm, ListSeen, MOST_SHOWN, MOST_TARGETS};
pub use order_facts::OrderFacts;
pub use outside::{EarlierSave, Keeper, Kept, LeftUnsaved, NewFile, Opened, Outside, Unsaved, Written};
pub use own_evening::{Judgement, OwnField, OwnForm, PortTemplate};
pub use pages::{
    AskedSides, MOST_COPIES, PagesChoice, PagesEdit, PagesNews, PagesOrder, PagesOutcome, PagesStep,
    PagesView, SetTold, Sides, usual_copies,
};
pub use part_file::{Part, PartFile, PartSave, UnsavedParts};
pub use pick_up_form::{MOST_VISITORS, PickUpForm};
pub use place_form::{Corner, Kind, PlaceEdit, PlaceField, PlaceForm, PortKind, beginning_words, field_of};
pub use problem::problem_text;
pub use settings::{MOST_RECENT, ReadSettings, Settings, TextStep, WindowPlace};
pub use shelf_list::{ShelfList, ShelfRow};
pub use target_form::{TARGET_KINDS, TargetField, TargetForm, TargetPage};
pub use told::{Question, Showing, Told};
pub use view::{
    BoardSpan, CardSection, CardView, ClearPart, Closing, Dialog, Focus, Notice, Palette, Report, RulesView,
    Selected, ShelfSort, ShelfView, Side, SkyPart, Then, View,
};
pub use wishes_form::{LEAST_STOPS, PORT_CHANGES, Wish, WishesForm, wish_for};
pub use worker::Worker;
