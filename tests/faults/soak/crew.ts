/** The edges and the truck of a soak: kept running, hurt at random, and audited shift by shift. */
import { existsSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { type DashboardProgram, startDashboard } from '../../support/dashboard-program.ts';
import { ADDRESS, writeConfig } from '../../support/edge-bench.ts';
import { freePort } from '../../support/mosquitto.ts';
import { type RunningProgram, startProgram } from '../../support/programs.ts';
import { tempDir } from '../../support/temp-dir.ts';
import { brokerPidOf, residentMb } from '../harness/children.ts';
import type { FaultRandom } from '../harness/random-test.ts';

export interface CrewEdge {
  readonly rig: string;
  readonly file: string;
  /** Kills of this edge in the running shift. */
  kills: number;
  program: RunningProgram;
}

export class Crew {
  readonly truckData = join(tempDir(), 'data');
  readonly edges: CrewEdge[] = [];
  readonly faults: Record<string, number> = {};
  private truck: DashboardProgram | null = null;
  private mqttPort = 0;
  private brokerPid = 0;
  private readonly configs = new Map<string, readonly string[]>();

  async start(rigs: readonly { id: string; url: string }[]): Promise<void> {
    this.mqttPort = await freePort();
    await this.startTruck();
    for (const { id, url } of rigs) {
      const file = join(tempDir(), 'edge.db');
      const config = writeConfig(tempDir(), url, `mqtt://127.0.0.1:${this.mqttPort}`);
      const settings = [`rig.rig=${id}`, `store.path=${file}`, 'store.batch_s=0.5', 'log.level=warn'];
      this.configs.set(id, ['run', '--config', config, ...settings.flatMap(one => ['--set', one])]);
      this.edges.push({ rig: id, file, kills: 0, program: this.startEdge(id) });
    }
  }

  /** One random fault; the victim is running again when this resolves. */
  async hurt(random: FaultRandom): Promise<void> {
    const fault = random.one(['edge', 'edge', 'edge', 'broker', 'truck', 'truckHangs', 'edgeHangs'] as const);
    this.faults[fault] = (this.faults[fault] ?? 0) + 1;
    const edge = random.one(this.edges);
    const truck = this.truck!;
    switch (fault) {
      case 'edge':
        edge.kills += 1;
        await edge.program.kill();
        edge.program = this.startEdge(edge.rig);
        break;
      case 'broker':
        this.brokerPid = await brokerPidOf(truck.child.pid!, this.brokerPid);
        process.kill(this.brokerPid, 'SIGKILL');
        break;
      case 'truck':
        await truck.kill();
        await this.startTruck();
        break;
      case 'truckHangs':
        await hang(truck, random.whole(200, 2000));
        break;
      case 'edgeHangs':
        await hang(edge.program, random.whole(200, 1500));
        break;
    }
  }

  /** An edge that ended by itself is a fault of ours, not of the test. */
  ended(): string[] {
    return this.edges.flatMap(({ rig, program }) =>
      program.child.exitCode === null
        ? []
        : [`${rig} ended with ${program.child.exitCode}: ${program.stderr()}`],
    );
  }

  waitsFor(): string {
    return this.edges.map(({ rig, program }) => `${rig}: ${program.stderr().slice(-300)}`).join('\n');
  }

  /** Memory, open files and logs of all programs, as the machine sees them. */
  sizes(): { rssMb: number; files: number; walMb: number } {
    const programs = [this.truck!.child.pid!, ...this.edges.map(({ program }) => program.child.pid!)];
    const wals = [
      join(this.truckData, 'dashboard.sqlite3-wal'),
      ...this.edges.map(({ file }) => `${file}-wal`),
    ];
    return {
      rssMb: Math.max(...programs.map(residentMb)),
      files: Math.max(...programs.map(pid => readdirSync(`/proc/${pid}/fd`).length)),
      walMb: Math.max(...wals.map(file => (existsSync(file) ? statSync(file).size / 1e6 : 0))),
    };
  }

  get site(): string {
    return ADDRESS.site;
  }

  private startEdge(rig: string): RunningProgram {
    return startProgram('girthlog-edge', this.configs.get(rig)!);
  }

  private async startTruck(): Promise<void> {
    this.brokerPid = 0;
    this.truck = await startDashboard({ data: this.truckData, mqtt: `127.0.0.1:${this.mqttPort}` });
    if (this.truck.mqtt !== `mqtt://127.0.0.1:${this.mqttPort}`)
      throw new Error(`the truck moved to ${this.truck.mqtt}`);
  }
}

/** A program that the machine does not let run for a while. */
async function hang(program: RunningProgram, ms: number): Promise<void> {
  program.child.kill('SIGSTOP');
  // This is the fault itself, not a wait for something.
  await new Promise(resolve => setTimeout(resolve, ms));
  program.child.kill('SIGCONT');
}
