//! The faces a letter may be set in: those in the program, then the clinic's.

use typst::foundations::Bytes;
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;

/// The serif for prose.
pub const SERIF: &str = "Libertinus Serif";
/// The sans for everything else.
pub const SANS: &str = "Noto Sans";
/// Families taken from the engine's bundled files. DejaVu Sans Mono is no face
/// of the layout: it only lends the odd arrow or symbol the others lack.
const BUNDLED: [&str; 2] = [SERIF, "DejaVu Sans Mono"];

/// All faces, with the book the engine looks them up in.
pub struct Fonts {
    /// Faces in order of preference.
    pub list: Vec<Font>,
    /// What the engine knows of them.
    pub book: LazyHash<FontBook>,
    /// Positions in the list of extra files that are not readable fonts.
    pub unreadable: Vec<usize>,
}

impl Fonts {
    /// The bundled faces, followed by the faces in `extra` files.
    pub fn load(extra: Vec<Vec<u8>>) -> Fonts {
        let mut list: Vec<Font> = bundled().collect();
        let mut unreadable = Vec::new();
        for (index, file) in extra.into_iter().enumerate() {
            let before = list.len();
            list.extend(Font::iter(Bytes::new(file)));
            if list.len() == before {
                unreadable.push(index);
            }
        }
        let book = LazyHash::new(FontBook::from_fonts(&list));
        Fonts { list, book, unreadable }
    }
}

fn bundled() -> impl Iterator<Item = Font> {
    let serif = typst_assets::fonts()
        .flat_map(|data| Font::iter(Bytes::new(data)))
        .filter(|font| BUNDLED.contains(&font.info().family.as_str()));
    let sans = [ttf_noto_sans::REGULAR, ttf_noto_sans::BOLD, ttf_noto_sans::ITALIC]
        .into_iter()
        .flat_map(|data| Font::iter(Bytes::new(data)));
    serif.chain(sans)
}
