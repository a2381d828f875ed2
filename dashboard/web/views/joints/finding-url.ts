import type { Finding } from '#core/messages/api-journal';
import { pageLink } from '../ready/ready-rigs.ts';
import { type JointTask, jointUrl, taskUrl } from './joint-routes.ts';

/** Which form mends a finding whose link is the joint itself: words in its code, first that fits. */
const TASKS: readonly (readonly [RegExp, JointTask])[] = [
  [/hold/i, 'hold'],
  [/qualif/i, 'qualification'],
  [/lot|consumable/i, 'lots'],
  [/polarity/i, 'polarity'],
  [/crew|operator|setter/i, 'crew'],
  [/preheat|interpass|temperature|reading/i, 'temperature'],
  [/release|visual/i, 'release'],
  [/particular|pipe|procedure|station|heat|diameter|wall/i, 'particulars'],
];

/** Where a finding is mended: the form of this joint that does it, or the page the server names; null where neither. */
export function findingUrl({ code, link }: Finding, joint: string): string | null {
  const url = pageLink(link);
  if (url === null || decodeURIComponent(url) !== decodeURIComponent(jointUrl(joint))) return url;
  if (/notOpened|unopened|jointUnknown/i.test(code)) return `#/open-joint?${new URLSearchParams({ joint })}`;
  const task = TASKS.find(([words]) => words.test(code))?.[1];
  return task === undefined ? null : taskUrl(joint, task);
}
