import { mkdirSync, readdirSync } from 'node:fs';
import type { Person } from '#core/messages/api';
import { procedureSchema } from '#core/procedure/procedure';
import { TRAINER_KEY_ENV, TRAINING_TOKEN_ENV } from '#core/training/control';
import { AssignmentDesk } from '../demo/assignment-desk.ts';
import { bundlePath } from '../demo/bundle-path.ts';
import { dashboardAccess } from '../demo/dashboard-access.ts';
import { DashboardClient } from '../demo/dashboard-client.ts';
import { DashboardProcess } from '../demo/dashboard-process.ts';
import type { DataFolder } from '../demo/data-folder.ts';
import exampleProcedure from '../demo/example-procedure.json' with { type: 'json' };
import { nextJointNumber } from '../demo/next-joint.ts';
import type { ByteOutput } from '../output/byte-output.ts';
import { ControlServer } from './control-server.ts';
import { LessonControl } from './lesson-control.ts';
import type { LibraryLesson } from './lesson-library.ts';
import type { LessonRig, LessonRigEvent } from './lesson-rig.ts';
import { RUN_OUT_S } from './lesson-run.ts';
import { RigOutlets } from './rig-outlets.ts';
import { systemTrainingClock } from './training-clock.ts';
import { TrainingEdges } from './training-edges.ts';
import type { FloorPlan, TrainingFloor } from './training-floor.ts';

export interface TrainingRoomOptions {
  readonly folder: DataFolder;
  readonly site: string;
  readonly httpPort: number;
  readonly mqttPort: number;
  readonly lessons: readonly LibraryLesson[];
  /** Between dashboard and simulator. */
  readonly token: string;
  readonly trainerKey: string;
  say(line: string): void;
  complain(sentence: string): void;
  giveUp(sentence: string): void;
}

const CREW = 'Training crew';
/** Who acts in a lesson: acknowledges, enters, rules about a simulated joint. */
const TRAINEE = 'Trainee';
const TRAINEE_ROLES: Person['roles'] = ['weldSetter', 'inspector'];
const DASHBOARD_GRACE_MS = 10_000;
/** Shorter than the dashboard waits for an answer. */
const EDGE_PATIENCE_MS = 3000;

export interface RoomAddresses {
  readonly http: string;
  readonly mqtt: string;
  readonly control: string;
  /** Signs somebody in as the trainee, once. */
  readonly trainee: string;
}

/** A dashboard of its own with its broker, an edge for each rig, and the simulator under control. */
export class TrainingRoom implements TrainingFloor {
  private readonly options: TrainingRoomOptions;
  private readonly control: LessonControl;
  private readonly server: ControlServer;
  private readonly outlets = new RigOutlets();
  private dashboard: DashboardProcess | null = null;
  private edges: TrainingEdges | null = null;
  private client: DashboardClient | null = null;
  private desk: AssignmentDesk | null = null;
  private author = '';
  private readonly access = dashboardAccess('training');
  private plan: FloorPlan | null = null;
  private clearing: NodeJS.Timeout | null = null;

  constructor(options: TrainingRoomOptions) {
    this.options = options;
    this.control = new LessonControl({ lessons: options.lessons, clock: systemTrainingClock, floor: this });
    this.server = new ControlServer(this.control, options.token, error => {
      const text = error instanceof Error ? (error.stack ?? error.message) : String(error);
      options.complain(`The control interface failed: ${text}`);
    });
  }

  /** Brings everything up; resolves with the addresses. Throws ProgramError and OutputError. */
  async start(): Promise<RoomAddresses> {
    const { folder, site, say, giveUp, httpPort, mqttPort, token, trainerKey, lessons } = this.options;
    mkdirSync(folder.of('edges'), { recursive: true });
    const control = await this.server.start(0);
    const rigs = [...new Set(lessons.flatMap(({ lesson }) => lesson.rig.map(({ id }) => id)))].sort();
    this.dashboard = new DashboardProcess({
      script: bundlePath('girthlog-dashboard'),
      env: {
        ...this.access.env,
        GIRTHLOG_DASHBOARD_TRAINING_CONTROL_URL: control,
        [TRAINING_TOKEN_ENV]: token,
        [TRAINER_KEY_ENV]: trainerKey,
      },
      dataPath: folder.of('dashboard'),
      logFile: folder.of('logs', 'dashboard.log'),
      httpPort,
      mqttPort,
      rigs: rigs.map(rig => `${site}/${rig}`),
      say,
      giveUp,
    });
    const { http, mqtt } = await this.dashboard.start();
    this.client = new DashboardClient(http, this.access.token);
    this.author = await this.client.personNamed(CREW);
    await this.client.ensureProcedure(procedureSchema.parse(exampleProcedure), this.author);
    this.desk = new AssignmentDesk(this.client, say);
    // A start of its own begins stores of its own: what an earlier one left behind may be dated ahead.
    const generation = nextGeneration(readdirSync(folder.of('edges')));
    this.edges = new TrainingEdges({ folder, site, brokerUrl: mqtt, generation, say, giveUp });
    const trainee = await this.client.signInLink(await this.client.personNamed(TRAINEE, TRAINEE_ROLES));
    return { http, mqtt, control, trainee };
  }

  async stop(): Promise<void> {
    if (this.clearing) clearTimeout(this.clearing);
    this.control.stop();
    await this.server.stop();
    this.desk?.close();
    await this.edges?.stop();
    await this.outlets.close();
    await this.dashboard?.stop(DASHBOARD_GRACE_MS);
  }

  async firstJoint(prefix: string, first: number): Promise<number> {
    return nextJointNumber((await this.client?.jointNames()) ?? [], prefix, first);
  }

  async prepare(plan: FloorPlan): Promise<void> {
    if (this.clearing) this.clearWork();
    this.plan = plan;
    for (const { id } of plan.rigs) await this.outlets.open(id);
    await this.edges?.keepFor(plan.rigs, rig => this.outlets.of(rig).url, plan.replay, plan.afterHurry);
  }

  outputOf(rig: string): ByteOutput {
    return this.outlets.of(rig);
  }

  greetWith(greetingOf: (rig: string) => Uint8Array): void {
    this.outlets.greetWith(greetingOf);
  }

  async missing(): Promise<string | null> {
    const rigs = this.plan?.rigs.map(({ id }) => id) ?? [];
    const unheard = await this.outlets.unheard(rigs, EDGE_PATIENCE_MS);
    if (unheard.length === 0) return null;
    return `The edge of ${unheard.join(' and of ')} does not listen yet: try again in a moment.`;
  }

  onEvent(rig: LessonRig, { event, pass }: LessonRigEvent): void {
    if (event !== 'passAhead') return;
    const { joint, side, pass: name, startDegrees } = pass;
    this.desk?.enter({
      site: this.options.site,
      rig: rig.settings.id,
      author: this.author,
      work: {
        joint,
        side,
        pass: name,
        procedureId: exampleProcedure.id,
        procedureRevision: exampleProcedure.revision,
        outsideDiameterMm: rig.settings.outsideDiameterMm,
        startDegrees: Number(startDegrees.toFixed(2)),
      },
    });
  }

  /** Once the arcs are out and the gas is off, the rigs have no work: their last passes close. */
  lessonEnded(): void {
    this.clearing = setTimeout(() => this.clearWork(), RUN_OUT_S * 1000);
  }

  private clearWork(): void {
    if (this.clearing) clearTimeout(this.clearing);
    this.clearing = null;
    for (const { id } of this.plan?.rigs ?? []) {
      this.desk?.enter({ site: this.options.site, rig: id, author: this.author, work: null });
    }
  }
}

/** The number after the highest of the stores' names, which end in it. */
function nextGeneration(names: readonly string[]): number {
  return Math.max(-1, ...names.map(name => Number(/-(\d+)\.db$/.exec(name)?.[1] ?? -1))) + 1;
}
