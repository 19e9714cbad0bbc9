"""The Case Crate: packs of cases for other shops, and theirs for this one."""
