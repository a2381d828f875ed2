/** Passes of one origin, newest first: a page of them costs the same however many passes there are. */
export const ORIGIN_STEP = 'CREATE INDEX passes_by_origin ON passes (origin, start_utc, pass_id);';
