import { FILTER_KEYS, type JointFilter, parseJointFilter, unknownInAddress } from './joint-filter.ts';

/** What can be entered about a joint, each on a page of its own. */
export const JOINT_TASKS = [
  'particulars',
  'lots',
  'polarity',
  'crew',
  'qualification',
  'temperature',
  'release',
  'hold',
  'elsewhere',
] as const;
export type JointTask = (typeof JOINT_TASKS)[number];

/** What a task begins with, and which entry it corrects. */
export interface TaskStart {
  readonly pass?: string;
  readonly side?: string;
  readonly person?: string;
  readonly corrects?: string;
}

export type JointRoute =
  | {
      readonly view: 'joints';
      readonly find: string;
      readonly filter?: JointFilter;
      /** What else stood in the address, which narrows nothing. */
      readonly unknown?: readonly string[];
    }
  | { readonly view: 'openJoint'; readonly joint: string }
  | { readonly view: 'joint'; readonly joint: string }
  | {
      readonly view: 'jointTask';
      readonly joint: string;
      readonly task: JointTask;
      readonly start: TaskStart;
    }
  | { readonly view: 'disposition'; readonly joint: string; readonly corrects: string | null }
  /** A recorded pass to be given another place; `joint`: the one it is asked for from. */
  | { readonly view: 'movePass'; readonly passId: string; readonly joint: string };

const START_KEYS = ['pass', 'side', 'person', 'corrects'] as const;

/** `joints?find=&station=&day=&rig=&procedure=&deviations=&disposition=&incomplete=`, `open-joint?joint=`, `joints/{joint}[/enter/{task}]`, `joints/{joint}/enter/disposition?corrects=`,
 * `joints/{joint}/enter/move?passId=` and `passes/{passId}/move?joint=`; null for any other path. */
export function parseJointRoute(
  parts: readonly (string | undefined)[],
  query: URLSearchParams,
): JointRoute | null {
  const [top, joint, enter, name] = parts;
  if (top === 'passes' && joint !== undefined && enter === 'move')
    return { view: 'movePass', passId: joint, joint: query.get('joint') ?? '' };
  if (top === 'open-joint') return { view: 'openJoint', joint: query.get('joint') ?? '' };
  if (top !== 'joints') return null;
  if (joint === undefined || joint === '') {
    const unknown = unknownInAddress(query);
    const filter = parseJointFilter(query);
    return {
      view: 'joints',
      find: query.get('find') ?? '',
      filter,
      ...(unknown.length > 0 && { unknown }),
    };
  }
  const passId = query.get('passId');
  if (enter === 'enter' && name === 'move' && passId !== null) return { view: 'movePass', passId, joint };
  if (enter === 'enter' && name === 'disposition')
    return { view: 'disposition', joint, corrects: query.get('corrects') };
  const task = JOINT_TASKS.find(one => one === name);
  if (enter !== 'enter' || task === undefined) return { view: 'joint', joint };
  const start = START_KEYS.flatMap(key => {
    const value = query.get(key);
    return value === null ? [] : [[key, value] as const];
  });
  return { view: 'jointTask', joint, task, start: Object.fromEntries(start) };
}

const withQuery = (path: string, query: Readonly<Record<string, string | undefined>>): string => {
  const given = Object.entries(query).filter(
    (pair): pair is [string, string] => pair[1] !== undefined && pair[1] !== '',
  );
  return given.length === 0 ? path : `${path}?${new URLSearchParams(given)}`;
};

export function jointRouteUrl(route: JointRoute): string {
  if (route.view === 'joints')
    return withQuery('#/joints', {
      find: route.find,
      // In one order, so that the same list has one address.
      ...Object.fromEntries(FILTER_KEYS.map(key => [key, route.filter?.[key]])),
    });
  if (route.view === 'openJoint') return withQuery('#/open-joint', { joint: route.joint });
  if (route.view === 'movePass')
    return withQuery(`#/passes/${encodeURIComponent(route.passId)}/move`, { joint: route.joint });
  const base = `#/joints/${encodeURIComponent(route.joint)}`;
  if (route.view === 'disposition')
    return withQuery(`${base}/enter/disposition`, { corrects: route.corrects ?? undefined });
  return route.view === 'joint' ? base : withQuery(`${base}/enter/${route.task}`, { ...route.start });
}

export const jointUrl = (joint: string): string => jointRouteUrl({ view: 'joint', joint });
export const taskUrl = (joint: string, task: JointTask, start: TaskStart = {}): string =>
  jointRouteUrl({ view: 'jointTask', joint, task, start });
export const dispositionUrl = (joint: string, corrects: string | null = null): string =>
  jointRouteUrl({ view: 'disposition', joint, corrects });
export const moveUrl = (passId: string, joint: string): string =>
  jointRouteUrl({ view: 'movePass', passId, joint });
