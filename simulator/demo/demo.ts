import { writeFile } from 'node:fs/promises';
import { procedureSchema } from '#core/procedure/procedure';
import { EXIT, ProgramError } from '#core/program/program-error';
import { DEMO_SCENARIO_INPUT } from '../scenario/demo-scenario.ts';
import { AssignmentDesk } from './assignment-desk.ts';
import { bundlePath } from './bundle-path.ts';
import { ALL_ROLES, dashboardAccess } from './dashboard-access.ts';
import { DashboardClient } from './dashboard-client.ts';
import { DashboardProcess } from './dashboard-process.ts';
import type { DataFolder } from './data-folder.ts';
import { edgeConfigText } from './edge-config.ts';
import exampleProcedure from './example-procedure.json' with { type: 'json' };
import { nextJointNumber } from './next-joint.ts';
import { type Listening, type PassAhead, simulatorEventOf } from './simulator-events.ts';
import { SupervisedChild } from './supervised-child.ts';

export interface DemoOptions {
  readonly folder: DataFolder;
  readonly httpPort: number;
  readonly mqttPort: number;
  readonly seed: number;
  /** Plain lines for the person at the terminal. */
  say(line: string): void;
  /** Something will not run: the demo should stop. */
  giveUp(sentence: string): void;
}

const SITE = 'demo';
const OPERATOR = 'Demo operator';
/** Whoever tries it out. */
const VISITOR = 'Demo visitor';
const JOINT_PREFIX = 'J-';
const FIRST_JOINT = 101;
const EDGE_GRACE_MS = 8000;
const SIMULATOR_GRACE_MS = 3000;
const DASHBOARD_GRACE_MS = 10_000;
const LISTENING_PATIENCE_MS = 20_000;

/** The whole main job on one machine: dashboard with broker, two simulated rigs, an edge for each. */
export class Demo {
  private readonly options: DemoOptions;
  private readonly dashboard: DashboardProcess;
  private simulator: SupervisedChild | null = null;
  private readonly edges: SupervisedChild[] = [];
  private desk: AssignmentDesk | null = null;
  private author = '';
  private readonly access = dashboardAccess('demo');
  private readonly rigs = new Map<string, Listening>();
  private lastJoint = FIRST_JOINT - 1;
  private lastPassSaid = '';
  private stopped = false;

  constructor(options: DemoOptions) {
    this.options = options;
    this.dashboard = new DashboardProcess({
      script: bundlePath('girthlog-dashboard'),
      env: this.access.env,
      dataPath: options.folder.of('dashboard'),
      logFile: options.folder.of('logs', 'dashboard.log'),
      httpPort: options.httpPort,
      mqttPort: options.mqttPort,
      // As the scenario lists them: side A, then side B, as they stand on the pipe.
      rigs: DEMO_SCENARIO_INPUT.rig.map(({ id }) => `${SITE}/${id}`),
      say: options.say,
      giveUp: options.giveUp,
    });
  }

  /** Brings everything up. Throws ProgramError. */
  async start(): Promise<void> {
    const { say } = this.options;
    const { http, mqtt } = await this.dashboard.start();
    if (this.stopped) return;
    const client = new DashboardClient(http, this.access.token);
    const procedure = procedureSchema.parse(exampleProcedure);
    this.author = await client.personNamed(OPERATOR);
    await client.ensureProcedure(procedure, this.author);
    const link = await client.signInLink(await client.personNamed(VISITOR, ALL_ROLES));
    const next = nextJointNumber(await client.jointNames(), JOINT_PREFIX, FIRST_JOINT);
    this.lastJoint = next - 1;
    this.desk = new AssignmentDesk(client, say);
    if (this.stopped) return;
    await this.startSimulator();
    for (const rig of this.rigs.values()) await this.startEdge(rig, mqtt);
    if (this.stopped) return;
    say('Girthlog demo. Everything it shows is SIMULATED, and its limits are an example, not a procedure.');
    say('');
    say(`  Dashboard   ${http}   <- open this in a browser`);
    say(`  To enter    ${link}`);
    say(`              signs you in as ${VISITOR}, who may do everything here; good once, for 12 hours`);
    say(`  Broker      ${mqtt}`);
    for (const rig of this.rigs.values()) {
      say(
        `  ${rig.rig.padEnd(11)} side ${rig.side}, simulated device on ${rig.url}, read by an edge of its own`,
      );
    }
    say(`  Data, logs  ${this.options.folder.path} (kept: the next start goes on after the last joint)`);
    say('');
    say('Stop with Ctrl-C.');
  }

  /** Edges first, while dashboard and broker still take what they hold; the dashboard last. */
  async stop(): Promise<void> {
    this.stopped = true;
    this.desk?.close();
    await Promise.all(this.edges.map(edge => edge.stop(EDGE_GRACE_MS)));
    await this.simulator?.stop(SIMULATOR_GRACE_MS);
    await this.dashboard.stop(DASHBOARD_GRACE_MS);
  }

  private async startSimulator(): Promise<void> {
    const { options } = this;
    let listening: () => void = () => undefined;
    const bothListen = new Promise<void>((resolve, reject) => {
      listening = resolve;
      setTimeout(
        () => reject(new ProgramError('The simulator did not begin in time; see its log.', EXIT.device)),
        LISTENING_PATIENCE_MS,
      ).unref();
    });
    this.simulator = new SupervisedChild({
      name: 'simulator',
      script: bundlePath('girthlog-simulator'),
      logFile: options.folder.of('logs', 'simulator.log'),
      args: starts => this.simulatorArgs(starts),
      onLine: line => {
        const event = simulatorEventOf(line);
        if (event?.event === 'listening') {
          this.rigs.set(event.rig, event);
          if (this.rigs.size === 2) listening();
        }
        if (event?.event === 'passAhead') this.assign(event);
      },
      say: options.say,
      giveUp: options.giveUp,
    });
    this.simulator.start();
    await bothListen;
  }

  /** A simulator that is started again is the same devices started again: same ports, next boot, next joint. */
  private simulatorArgs(starts: number): string[] {
    const { seed } = this.options;
    const outputs = [...this.rigs.values()].map(({ url }) => url);
    return [
      'run',
      '--json',
      '--output',
      ...(outputs.length > 0 ? outputs : ['tcp://127.0.0.1:0']),
      '--rigs',
      '2',
      '--seed',
      String(seed),
      '--boot',
      String(starts),
      '--first-joint',
      String(this.lastJoint + 1),
    ];
  }

  private async startEdge(rig: Listening, mqtt: string): Promise<void> {
    const { folder, say, giveUp } = this.options;
    const configPath = folder.of(`edge-${rig.rig}.toml`);
    await writeFile(configPath, edgeConfigText(rig, SITE, mqtt, folder.of(`edge-${rig.rig}.db`)));
    if (this.stopped) return;
    const edge = new SupervisedChild({
      name: `edge of ${rig.rig}`,
      script: bundlePath('girthlog-edge'),
      logFile: folder.of('logs', `edge-${rig.rig}.log`),
      args: () => ['run', '--config', configPath],
      onLine: () => undefined,
      say,
      giveUp,
    });
    this.edges.push(edge);
    edge.start();
  }

  private assign(event: PassAhead): void {
    this.lastJoint = Math.max(this.lastJoint, nextJointNumber([event.joint], JOINT_PREFIX, 0) - 1);
    this.desk?.enter({
      site: SITE,
      rig: event.rig,
      author: this.author,
      work: {
        joint: event.joint,
        side: event.side,
        pass: event.pass,
        procedureId: exampleProcedure.id,
        procedureRevision: exampleProcedure.revision,
        outsideDiameterMm: event.outsideDiameterMm,
        startDegrees: event.startDegrees,
      },
    });
    const what = `${event.joint}, ${event.pass} pass`;
    if (what !== this.lastPassSaid) this.options.say(`Next: ${what}`);
    this.lastPassSaid = what;
  }
}
