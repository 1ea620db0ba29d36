//! The skin under the brace or cast that is worn, whoever looked at it last.

use chrono::NaiveDate;

use super::super::record::exam_path;
use crate::case::{Case, Treatment};
use crate::diag::Located;
use crate::evidence::Source;
use crate::facts::Missing;
use crate::facts::derive::maker::{Maker, day, text};

const LABEL: &str = "skin under the brace or cast";

/// One look at the skin: the day, what was written, the record.
type Look<'a> = (&'a Located<NaiveDate>, &'a Located<String>, String);

/// `treatment.current.skin` and `.skin_on`: the latest entry on skin of an
/// examination since the first day, or of a fitting. Skin seen before the
/// brace is no skin under it.
pub fn skin(make: &mut Maker, case: &Case, now: Option<&Treatment>) {
    let (id, id_on) = ("treatment.current.skin", "treatment.current.skin_on");
    let Some(treatment) = now else {
        for id in [id, id_on] {
            make.missing(id, LABEL, Missing::NotApplicable("no brace or cast is worn".into()));
        }
        return;
    };
    let record = format!("treatment {}", treatment.id.value);
    match looks(case, treatment, &record).into_iter().max_by_key(|(on, ..)| on.value) {
        Some((on, found, path)) => {
            let by = || Source::definition("the latest entry since the first day");
            make.fact(id, LABEL, text(found)).record(&path, &found.place).by("latest", by()).done();
            let label = "day on which the skin under the brace or cast was seen";
            make.fact(id_on, label, day(on.value)).record(&path, &on.place).done();
        }
        None => {
            for id in [id, id_on] {
                make.not_recorded(id, LABEL, "the examiner", &record, &treatment.place);
            }
        }
    }
}

/// Fittings first, so that of one day the examination is told.
fn looks<'a>(case: &'a Case, treatment: &'a Treatment, record: &str) -> Vec<Look<'a>> {
    let fitted = treatment.fittings.iter().filter_map(|f| {
        Some((&f.on, f.skin.as_ref()?, format!("{record} / fitting {}", f.on.value)))
    });
    let first = treatment.start().map(|start| start.value);
    let since = case.exams.iter().filter(|e| first.is_some_and(|first| e.on.value >= first));
    let examined = since.filter_map(|e| Some((&e.on, e.skin.as_ref()?, exam_path(e))));
    fitted.chain(examined).collect()
}
