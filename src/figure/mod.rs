//! Figures: models of what is shown, and their drawing in plain shapes.
