import type { Page } from 'playwright-core';
import { PROCEDURE, type RigFixture } from './dashboard-fixtures.ts';
import { type FakeJoints, fakeJoints, passAt } from './fake-joints.ts';
import type { OpenOptions, WebPage } from './web-page.ts';

const rigs: readonly RigFixture[] = [
  { rig: 'rig-3', place: 0, joint: 'J-0412' },
  { rig: 'rig-4', place: 1, noWork: true },
];
const recorded = [
  passAt('s:1', 0, { name: 'root' }),
  passAt('s:2', 2, { name: 'root', side: 'B', rig: 'rig-4' }),
  passAt('s:3', 25, { name: 'hot' }),
  passAt('s:4', 40, { name: null, joint: null, side: null, rig: 'rig-6' }),
];

export interface JointPage {
  readonly page: Page;
  readonly joints: FakeJoints;
}

/** Opens an address with joint J-0412 half welded, and with whatever `set` enters before. */
export async function openJointPage(
  { open, fake }: WebPage,
  hash: string,
  set: (joints: FakeJoints) => void = () => undefined,
  options: OpenOptions = {},
): Promise<JointPage> {
  const page = await open(rigs, { ...options, hash: '#/about' });
  const joints = await fakeJoints(page, recorded);
  set(joints);
  await page.goto(`${fake().url}/${hash}`);
  await page.reload();
  return { page, joints };
}

export function enterOpening(joints: FakeJoints): void {
  joints.enter({
    ...{ kind: 'jointOpened', joint: 'J-0412', station: '14+220', outsideDiameterMm: 610 },
    ...{ procedureId: PROCEDURE.id, procedureRevision: 1 },
  });
}
