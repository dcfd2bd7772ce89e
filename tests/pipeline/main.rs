//! The whole plan, and its forms checked from outside: everything here reads the plan's JSON as a stranger would, with none
//! of our geometry.

mod alternatives;
mod cheapest;
mod closed;
mod demo;
mod dirt;
mod drawn;
mod from_outside;
mod gone_around;
mod hostile_names;
mod knee;
mod labels;
mod pavement;
mod real_field;
