/** Alarms from a device through edge and broker to the dashboard, over a restart of the dashboard. */
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Alarm, AlarmHistory, AlarmPicture } from '#core/messages/api-alarm';
import { edgeConfig } from '../bench/harness/edge.ts';
import { type DashboardProgram, startDashboard } from '../support/dashboard-program.ts';
import { freePort } from '../support/mosquitto.ts';
import { startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';
import { startWeldingDevice } from '../support/welding-device.ts';

const alarms = async (dashboard: DashboardProgram): Promise<Alarm[]> =>
  (await dashboard.json<AlarmPicture>('/api/v1/alarms')).alarms;
const find = async (dashboard: DashboardProgram, cause: Alarm['cause']): Promise<Alarm | null> =>
  (await alarms(dashboard)).find(one => one.cause === cause) ?? null;
const log = async (dashboard: DashboardProgram): Promise<string[]> =>
  (await dashboard.json<AlarmHistory>('/api/v1/alarms/history?limit=200')).entries
    .map(({ what, cause }) => `${cause} ${what}`)
    .reverse();

async function running() {
  const dir = tempDir();
  const data = join(dir, 'data');
  const mqtt = `127.0.0.1:${await freePort()}`;
  const dashboard = await startDashboard({ data, mqtt });
  const device = await startWeldingDevice();
  const config = edgeConfig(join(dir, 'edge'), { rig: 'rig-a', source: device.url, broker: dashboard.mqtt });
  const edge = startProgram('girthlog-edge', ['run', '--config', config]);
  await waitUntil(
    async () => {
      const { rigs } = await dashboard.json<{ rigs: { live: { arc: string } | null }[] }>('/api/v1/rigs');
      return rigs[0]?.live?.arc === 'on';
    },
    () => `the arc; the edge says: ${edge.stderr()}`,
  );
  const person = await dashboard.post<{ id: string }>('/api/v1/people', {
    name: 'A. Example',
    roles: ['weldSetter'],
  });
  return { dashboard, device, edge, author: person.id, again: () => startDashboard({ data, mqtt }) };
}

describe('alarms end to end', () => {
  it('outlast a restart of the dashboard as they are, and nothing is announced anew', async () => {
    const { dashboard, device, author, again } = await running();
    device.silent = true;
    const lost = await waitUntil(() => find(dashboard, 'noDataWithArc'), 'the alarm');
    expect(lost).toMatchObject({ priority: 'high', lifecycle: 'unacked', heard: true, count: 1 });
    await dashboard.post('/api/v1/alarms/acknowledge', { alarms: [lost.alarm], author });
    await dashboard.post('/api/v1/alarms/shelve', {
      site: 'bench',
      rig: 'rig-a',
      cause: 'drifting',
      author,
      reason: 'trial weld',
      minutes: 30,
    });
    const before = await dashboard.json<AlarmPicture>('/api/v1/alarms');
    const said = await log(dashboard);
    await dashboard.stop();

    const restarted = await again();
    const first = await restarted.json<AlarmPicture>('/api/v1/alarms');
    // At once, before any edge has spoken: all of it, as what was last known.
    expect(first.alarms).toEqual(before.alarms.map(alarm => ({ ...alarm, heard: false })));
    expect([first.away, first.newest]).toEqual([before.away, before.newest]);
    const heard = await waitUntil(async () => {
      const alarm = await find(restarted, 'noDataWithArc');
      return alarm?.heard ? alarm : null;
    }, 'the edge to be heard again');
    expect(heard).toEqual({ ...before.alarms[0], heard: true });
    expect(await log(restarted)).toEqual(said);

    device.silent = false;
    const over = await waitUntil(async () => {
      const alarm = await find(restarted, 'noDataWithArc');
      return alarm?.lifecycle === 'latched' ? alarm : null;
    }, 'the condition to end');
    expect(over.acknowledged?.by).toBe(author);
    await restarted.post('/api/v1/alarms/reset', { alarms: [over.alarm], author });
    expect(await find(restarted, 'noDataWithArc')).toBeNull();
    expect((await log(restarted)).slice(said.length)).toEqual([
      'noDataWithArc cleared',
      'noDataWithArc reset',
    ]);
  });

  it('an edge that is killed while its arc burns is a HIGH alarm', async () => {
    const { dashboard, edge } = await running();
    await edge.kill();
    const lost = await waitUntil(() => find(dashboard, 'edgeLost'), 'the alarm');
    expect(lost).toMatchObject({ priority: 'high', lifecycle: 'unacked', site: 'bench', rig: 'rig-a' });
    expect(lost.text).toContain('The arc was on');
  });
});
