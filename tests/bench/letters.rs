//! How long one warm letter takes, from blocks to the bytes of its PDF.
//!
//! `cargo bench`: pages, figures and tables as in the sample letters of the
//! tests. Recomputation and narrative are not in it. Everything runs on one
//! thread, so that the time is the processor time of a letter.

use criterion::{Criterion, criterion_group, criterion_main};
use endplate::letter::block::Paper;
use endplate::render::Typesetter;

#[path = "../support/sample_letter.rs"]
#[allow(dead_code)]
mod sample_letter;

fn letters(c: &mut Criterion) {
    // The only worker of the engine's pool is this thread.
    let pool = rayon::ThreadPoolBuilder::new().num_threads(1).use_current_thread();
    pool.build_global().expect("no pool exists yet");
    let typesetter = Typesetter::new(Vec::new());
    let two = sample_letter::short("Nell Osgarth", Paper::A4);
    let three = sample_letter::long("Nell Osgarth", Paper::A4);
    let mut pushed = two.clone();
    pushed.blocks.insert(3, pushed.blocks[2].clone());
    pushed.blocks.insert(3, pushed.blocks[2].clone());
    let mut group = c.benchmark_group("warm letter");
    group.bench_function("two pages, two figures", |b| b.iter(|| typesetter.pdf(&two)));
    group.bench_function("figures that do not fit, laid out twice", |b| {
        b.iter(|| typesetter.pdf(&pushed));
    });
    group.bench_function("three pages, every block", |b| b.iter(|| typesetter.pdf(&three)));
    group.bench_function("glyph check of three pages", |b| {
        b.iter(|| typesetter.check_glyphs(&three));
    });
    group.finish();
}

criterion_group!(benches, letters);
criterion_main!(benches);
