//! From a spine clinic's case files to measured facts and letters worth
//! signing: the tour.
//!
//! Clinics that look after spinal curves without surgery keep one YAML file
//! per patient. This library reads it, measures again what can be measured,
//! and writes the letters that follow from it. No logic lives here; each step
//! is a room of its own, and the rooms stand below in the order in which a
//! case walks through them. A room uses only rooms named before it.
//!
//! # What every step uses
//!
//! - [`diag`]: one model for every complaint. A [`Diagnostic`](diag::Diagnostic)
//!   has a stable [`Code`](diag::Code), a [`Place`](diag::Place) in a file, the
//!   reason and the remedy; a [`Report`](diag::Report) collects them, so that
//!   one run tells them all.
//! - [`quantity`]: units live in the type, dates are as precise as known, and
//!   the only way to a printed number is [`Reported`](quantity::Reported), made
//!   by one rounding.
//! - [`evidence`]: published works; a figure carries value, unit, source and
//!   the [`Grade`](evidence::Grade) that says how well the source is known.
//!
//! - [`digest`]: what was the same stays the same; the ground of exact rebuilds
//!   and of the register.
//!
//! # What is known without any case
//!
//! - [`spine`]: levels, sides, landmarks and the angle between two endplates
//!   ([`spine::cobb()`]): geometry of one film, in the patient's axes.
//! - [`course`]: what two or more values say together: whether a change is real
//!   ([`course::change`]), which curve of one film is which of the next
//!   ([`course::identity`]), what a brace corrects ([`course::brace`]), how fast
//!   a curve moves ([`course::trend`]).
//!
//! # From a file to facts
//!
//! 1. [`case::node::parse`] reads the text to a tree in which every value keeps
//!    its line and column; no YAML guess ever changes what was typed.
//! 2. [`case::read::read_case`] holds the tree against the one table of fields
//!    ([`case::field`], which also makes the JSON Schema) and gives a
//!    [`Case`](case::Case), landmark files included.
//! 3. [`case::check::check`] compares records with each other: a brace film
//!    before its fitting, a side that contradicts the landmarks.
//!    Letters that nobody typed follow from its visits and plans
//!    ([`case::follow`]).
//! 4. [`facts::known_on`] cuts away what was not yet known on the letter's day.
//! 5. [`facts::derive()`] makes every [`Fact`](facts::Fact): an id, a value, its
//!    uncertainty, and where it came from. [`facts::compare`] decides which
//!    films may be compared at all.
//! 6. [`rules`] holds conditions against facts. A [`Verdict`](rules::Verdict) is
//!    met, not met or cannot tell; [`rules::payer::told`] turns verdicts into
//!    facts, so that a letter can print them; [`rules::readers`] says what a
//!    letter's reader needs and what is closed to them.
//!
//! # From facts to a letter
//!
//! 7. [`letter::compose::compose`] runs a template ([`letter::template`]). It
//!    chooses words and cannot compute; what it prints travels as an opaque
//!    token ([`letter::token`]) through Markdown ([`letter::markdown`]) and
//!    becomes a [`Block`](letter::block::Block) that still knows its facts.
//!    [`letter::frame`] fills what stands around the body.
//! 8. [`figure::fill`] draws the curve over time, the spine from its landmarks
//!    or the films themselves, hours in the brace and growth, in plain shapes,
//!    each with a description in words.
//! 9. [`render::Typesetter::pdf`] sets the letter with one constant layout;
//!    [`render::Typesetter::html`] makes a page for a browser of it, and
//!    [`render::text::plain`] says the same as plain text.
//!
//! # Many letters
//!
//! 10. [`pipeline`] finds the clinic's folder, reads, plans, makes letters on
//!     worker threads ([`pipeline::workers`]) and writes those whose bytes
//!     changed ([`pipeline::build()`]). It alone touches files.
//!     [`pipeline::Press`] is the chain of one letter, steps 4 to 9;
//!     [`pipeline::rehearse`] walks the same way with another value in memory,
//!     and says what would change.
//!
//! 11. [`register`] holds what left the house: events that only grow in number,
//!     the state of every issued letter, and who is still to be told.
//! 12. [`pipeline::issue`] lets letters leave, freezes them and replaces wrong
//!     ones; [`pipeline::impact`] writes each issued letter again and says which
//!     would read otherwise today.
//!
//! # Across patients
//!
//! 12. [`audit::readers`] compares the clinic's repeated readings of its films,
//!     so that it can set its limits from its own data.
//!
//! The program itself (`src/main.rs`, `src/cli/`) reads arguments and prints.
//!
//! # One number, from the film to the page
//!
//! Letter `fw-0118/l3` of the demo clinic states an in-brace correction of 43 %.
//! The rooms that number has passed:
//!
//! | room | what it did |
//! |---|---|
//! | `cases/` | film `f6` was taken in the brace, `f5` three weeks before without it; each reading names the end vertebrae T6 and T12 and a landmark file |
//! | [`case`] | read both films and their landmark files; `12 deg` and `21 deg` were typed as well, and agree with the landmarks |
//! | [`spine`] | measured the angle from the upper endplate of T6 to the lower endplate of T12: 12.158° and 20.882° |
//! | [`facts`] | rounded each once (`films.f6.curves.thoracic.cobb` is 12°, `films.f5.curves.thoracic.cobb` 21°) and chose `f5` as baseline: the last film out of support before that brace |
//! | [`course`] | gave [`Reduction::percent`](course::brace::Reduction::percent): (21 − 12) / 21 = 42.857, reported as 43 % |
//! | [`evidence`] | names the publication of that formula |
//! | [`facts`] | stored it as `treatments.b1.checks.f6.thoracic.correction`, and again as `curves.thoracic.in_brace.correction`, where templates look |
//! | [`letter`] | `templates/letters/en/progress.md.j2` calls `in_support` of `templates/phrases/en.md.j2`, which prints `{{ c.in_brace.correction }}`: a token, then `43 %` in a paragraph |
//! | [`figure`] | drew the 12° film beside the standing one, labelled “in brace” |
//! | [`render`] | set the paragraph on page 1 |
//! | [`pipeline`] | wrote `fw-0118/l3-progress-gp.pdf` |
//!
//! `endplate explain fw-0118 curves.thoracic.in_brace.correction` prints that
//! way back, down to the line of the case file. The facts and the text of the
//! letter are kept in `tests/golden/fw-0118/`.
//!
//! `DEVELOPERS.md` says how to add a measurement, a letter, a rule or a
//! diagnostic, and what each room must not know.

// The formatter sorts these; the tour above has the order.
pub mod audit;
pub mod case;
pub mod course;
pub mod diag;
pub mod digest;
pub mod evidence;
pub mod facts;
pub mod figure;
pub mod letter;
pub mod pipeline;
pub mod quantity;
pub mod register;
pub mod render;
pub mod rules;
pub mod spine;
