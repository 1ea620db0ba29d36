//! stub
#![allow(missing_docs)]
pub mod change { use crate::quantity::*; use crate::evidence::Source;
pub enum Diagnosis { Scoliosis, UpToTen, Kyphosis, Congenital }
pub struct Circumstances { pub same_reader: bool, pub same_ends: bool, pub diagnosis: Diagnosis, pub floor: Option<Angle>, pub own_repeatability: Option<Angle> }
pub struct Limit { pub degrees: Reported, pub source: Source, pub reason: String }
pub fn limit(_: &Circumstances) -> Limit { todo!() } }
pub mod outcome { use crate::quantity::*; use crate::evidence::Source; pub enum Band { A } impl Band { pub fn word(&self) -> &'static str { "" } }
pub struct Bands { pub band: Band, pub source: Source }
pub fn scoliosis(_: Reported) -> Bands { todo!() } pub fn kyphosis(_: Reported) -> Bands { todo!() } }
pub mod identity { use crate::spine::Side;
pub struct Seen { pub name: Option<String>, pub upper: f64, pub lower: f64, pub apex: Option<f64>, pub side: Option<Side>, pub in_support: bool }
#[derive(Debug)] pub struct Ambiguity; impl std::fmt::Display for Ambiguity { fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result { f.write_str("") } }
pub fn matching(_: &[Seen], _: &[Seen]) -> Result<Vec<Option<usize>>, Ambiguity> { todo!() } }
