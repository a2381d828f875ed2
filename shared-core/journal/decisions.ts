/** What an authorised person rules about a joint, in the order they are offered; none is ever proposed. */
export const DECISIONS = ['accept', 'repair', 'reRepair', 'cutOut', 'reinspect', 'hold'] as const;
export type Decision = (typeof DECISIONS)[number];
