/** A view over hours asks which stretches it takes, and whether each still has samples: the index says both. */
export const STRETCH_INDEX_STEP = `
  DROP INDEX stretches_by_time;
  CREATE INDEX stretches_by_time ON stretches (stream_id, first_us, data IS NULL);
`;
