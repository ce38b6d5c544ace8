/**
 * Migrations whose text was put right after it had landed, because the earlier text failed on some
 * databases with rows: the SHA-256 of each earlier text, by name. A database that never passed one
 * gets the text as it stands now; one that passed an earlier text is left alone, so both texts must
 * lead to the same tables once all migrations are through. Nothing else may change a migration.
 */
export const EARLIER_TEXTS: Readonly<Record<string, readonly string[]>> = {
  // Failed on deliveries on record (their new date had no value) and on two orders approved or sent
  // for one delivery (the index on them now comes with 20261125225547_one_open_order).
  '20261125152039_order_life': ['a5a5fc3fdf24271eaa1a7833e05e5ff1bf95ae47b3403e4b956d1f7b88f0bc48'],
};
