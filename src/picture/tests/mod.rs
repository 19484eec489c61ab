//! Pictures of simple bodies against closed forms.

mod bodies;
mod drawn;
mod hostile;
mod parts;
