/** English: the trends around one moment. */
export const enTrendAt = {
  title: (side: string | null, rig: string, time: string) =>
    side === null ? `Around ${time}: ${rig}` : `Around ${time}: ${side}, ${rig}`,
  live: 'Live trends of this side',
  earlier: 'Earlier',
  later: 'Later',
  mark: 'alarm',
  loading: 'Loading what is stored …',
  coming: 'The newest seconds are still being stored.',
  nothing: 'Nothing of this time is stored.',
  failed: (detail: string) => `What is stored could not be loaded: ${detail}`,
  source: 'Stored samples, least and greatest per point. Hatched: no data.',
  limitsOf: (pass: string, joint: string) => `Limits of ${pass}, joint ${joint}.`,
  limitsNone: 'No pass of a procedure is recorded for this time: no limits are drawn.',
};
