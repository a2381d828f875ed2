/** `npm start` as a person runs it: everything up, both sides weld, Ctrl-C, and up again with the data kept. */
import { existsSync, readFileSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { assignmentListSchema, jointListSchema, type RigList, rigListSchema } from '#core/messages/api-lists';
import { endsWithTest, processesOn } from '../support/processes-on.ts';
import { type RunningProgram, startProgram } from '../support/programs.ts';
import { tempDir } from '../support/temp-dir.ts';
import { waitUntil } from '../support/wait-until.ts';

const PATIENCE_MS = 30_000;

function startDemo(data: string): RunningProgram {
  const demo = startProgram('girthlog-demo', ['--data', data, '--port', '0', '--mqtt-port', '0']);
  endsWithTest(data);
  return demo;
}

async function dashboardOf(demo: RunningProgram): Promise<string> {
  return await waitUntil(
    () => /Dashboard +(http:\/\/127\.0\.0\.1:\d+)/.exec(demo.stdout())?.[1],
    () => `the dashboard's address, said so far: ${demo.stdout()} ${demo.stderr()}`,
    PATIENCE_MS,
  );
}

async function rigsOf(url: string): Promise<RigList['rigs']> {
  return rigListSchema.parse(await (await fetch(`${url}/api/v1/rigs`)).json()).rigs;
}

async function weldingRigs(url: string): Promise<RigList['rigs']> {
  return await waitUntil(
    async () => {
      const rigs = await rigsOf(url);
      const both = rigs.length === 2 && rigs.every(({ live }) => (live?.pass?.arcTimeS ?? 0) > 1);
      return both ? rigs : null;
    },
    'both sides to weld',
    PATIENCE_MS,
  );
}

describe('npm start', () => {
  it('shows both sides of a joint welding, stops cleanly, and goes on with the stored data', async () => {
    const data = join(tempDir(), 'demo');
    const first = startDemo(data);
    const url = await dashboardOf(first);
    const rigs = await weldingRigs(url);
    for (const [i, side] of (['A', 'B'] as const).entries()) {
      const { live, info } = rigs[i]!;
      expect(info?.origin).toBe('simulated');
      expect(live?.arc).toBe('on');
      expect(live?.assignment).toMatchObject({
        joint: 'J-0101',
        side,
        pass: 'root',
        procedureId: 'example-610',
      });
      expect(live?.pass?.energyBasis).toBe('instantaneous');
    }
    // Everything a watcher looks at grows.
    await waitUntil(async () => {
      const later = await rigsOf(url);
      return later.every(({ live }, i) => {
        const before = rigs[i]!.live!.pass!;
        const now = live?.pass;
        return (
          now &&
          now.arcTimeS > before.arcTimeS + 0.5 &&
          now.runOutLengthMm! > before.runOutLengthMm! &&
          now.arcEnergyKj! > before.arcEnergyKj! &&
          now.heatInputKjMm! > 0 &&
          live.position!.alongMm > rigs[i]!.live!.position!.alongMm
        );
      });
    }, 'arc time, length, energy and position to grow');
    first.child.kill('SIGINT');
    expect(await first.exited).toBe(0);
    expect(first.stderr()).toBe('');
    expect(first.stdout()).toContain('Stopped. All data is kept.');
    expect(processesOn(data)).toEqual([]);
    expect(existsSync(join(data, 'demo.pid'))).toBe(false);

    const second = startDemo(data);
    const again = await dashboardOf(second);
    const nowRigs = await weldingRigs(again);
    expect(nowRigs.map(({ live }) => live?.assignment?.joint)).toEqual(['J-0102', 'J-0102']);
    // What was welded before the stop is in the store.
    const joints = await waitUntil(async () => {
      const list = jointListSchema.parse(await (await fetch(`${again}/api/v1/joints`)).json());
      return list.joints.some(({ joint }) => joint === 'J-0101') ? list : null;
    }, 'the joint of the first run');
    expect(joints.origin).toBe('simulated');
    const people = await (await fetch(`${again}/api/v1/people`)).json();
    expect(people.people).toHaveLength(2);
    second.child.kill('SIGTERM');
    expect(await second.exited).toBe(0);
    expect(processesOn(data)).toEqual([]);
  });

  it('starts a rig program again that died, on the same address, and says so', async () => {
    const data = join(tempDir(), 'demo');
    const demo = startDemo(data);
    const url = await dashboardOf(demo);
    const [edge] = processesOn(data).filter(line => line.includes('edge-rig-a.toml'));
    process.kill(Number(edge!.trim().split(' ')[0]), 'SIGKILL');
    await waitUntil(
      () => /The edge of rig-a ended \(signal SIGKILL\).*started again in 1 s\./s.test(demo.stdout()),
      'the sentence about the edge',
    );
    await weldingRigs(url);
    const list = assignmentListSchema.parse(await (await fetch(`${url}/api/v1/assignments`)).json());
    expect(list.assignments.map(({ rig }) => rig).sort()).toEqual(['rig-a', 'rig-b']);
    demo.child.kill('SIGTERM');
    expect(await demo.exited).toBe(0);
    expect(processesOn(data)).toEqual([]);
  });

  it('a port in use is one sentence, and nothing is left running', async () => {
    const server = createServer();
    await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
    onTestFinished(() => void server.close());
    const { port } = server.address() as { port: number };
    const data = join(tempDir(), 'demo');
    const demo = startProgram('girthlog-demo', ['--data', data, '--port', String(port)]);
    expect(await demo.exited).toBe(6);
    expect(demo.stderr()).toBe(
      `Port ${port} on 127.0.0.1 is already in use; choose another with: npm start -- --port 8090\n`,
    );
    expect(processesOn(data)).toEqual([]);
  });

  it('a folder that a running demo holds is refused', async () => {
    const data = join(tempDir(), 'demo');
    const first = startDemo(data);
    await waitUntil(() => existsSync(join(data, 'demo.pid')), 'the first demo to take the folder');
    const second = startDemo(data);
    expect(await second.exited).toBe(3);
    expect(second.stderr()).toContain(`already running on ${data} (process ${first.child.pid})`);
    expect(readFileSync(join(data, 'demo.pid'), 'utf8')).toBe(`${first.child.pid}\n`);
    expect(await first.stop()).toBe(0);
  });
});
