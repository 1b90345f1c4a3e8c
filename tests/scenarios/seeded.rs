//! Faults put one by one, and in pairs, into the finished examples: each is found.
