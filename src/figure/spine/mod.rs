//! spine
