/** A simulator's control that does as it is told and welds nothing: states and refusals of control.ts, truth as set. */
import { createServer, type IncomingMessage } from 'node:http';
import type { AddressInfo } from 'node:net';
import { onTestFinished } from 'vitest';
import type { ControlState, Truth } from '#core/training/control';

export const CONTROL_TOKEN = 'token-of-the-simulator';

export interface TestControl {
  readonly url: string;
  /** What it was told, in order: "open", "start", … */
  readonly told: string[];
  truth: Truth['windows'];
  state: ControlState;
  /** Closes its port: nobody answers any more. */
  readonly leave: () => Promise<void>;
  /** Answers with this text instead, once. */
  garble: string | null;
}

const LESSON = {
  id: 'stick-out',
  title: 'Stick-out',
  objectives: ['See a slow drift of the current'],
  minutes: 10,
  rigs: 2,
  seed: 11,
  replay: false,
};

const IDLE: ControlState = {
  lesson: null,
  seed: null,
  state: 'idle',
  speed: 1,
  hurried: false,
  simulatedS: 0,
  rigs: [],
};

const RIGS: ControlState['rigs'] = (['A', 'B'] as const).map(side => ({
  rig: `rig-${side.toLowerCase()}`,
  side,
  joint: 'T-0001',
  pass: 'fill 1',
  alongMm: 0,
  arc: true,
}));

/** From which states each may be told. */
const FROM: Record<string, readonly ControlState['state'][]> = {
  open: ['idle', 'ready', 'ended'],
  start: ['ready'],
  freeze: ['running'],
  resume: ['frozen'],
  speed: ['ready', 'running', 'frozen'],
  inject: ['running', 'frozen'],
  end: ['ready', 'running', 'frozen'],
};
const TO: Record<string, ControlState['state']> = {
  open: 'ready',
  start: 'running',
  freeze: 'frozen',
  resume: 'running',
  end: 'ended',
};

export async function startTestControl(): Promise<TestControl> {
  const server = createServer(async (request, response) => {
    const { status, body } = await answered(request);
    response.writeHead(status, {
      'content-type': status < 400 ? 'application/json' : 'application/problem+json',
    });
    response.end(typeof body === 'string' ? body : JSON.stringify(body));
  });
  await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
  const leave = async (): Promise<void> => {
    server.closeAllConnections();
    await new Promise(resolve => server.close(resolve));
  };
  onTestFinished(leave);
  const control: TestControl = {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    told: [],
    truth: [],
    state: IDLE,
    leave,
    garble: null,
  };
  return control;

  async function answered(request: IncomingMessage): Promise<{ status: number; body: unknown }> {
    const refused = (status: number, code: string, detail: string) => ({
      status,
      body: { status, code, detail },
    });
    if (request.headers.authorization !== `Bearer ${CONTROL_TOKEN}`) {
      return refused(401, 'tokenWrong', 'The token is not right.');
    }
    if (control.garble !== null) {
      const body = control.garble;
      control.garble = null;
      return { status: 200, body };
    }
    const what = request.url!.slice(1);
    if (request.method === 'GET') {
      if (what === 'lessons') return { status: 200, body: { lessons: [LESSON] } };
      return { status: 200, body: what === 'truth' ? { windows: control.truth } : control.state };
    }
    const told = JSON.parse(await textOf(request)) as Record<string, unknown>;
    if (!FROM[what]!.includes(control.state.state)) {
      return refused(409, 'wrongState', `The lesson is ${control.state.state}: ${what} does not fit.`);
    }
    if (what === 'open' && told['lesson'] !== LESSON.id) {
      return refused(404, 'lessonUnknown', `There is no lesson ${told['lesson']}.`);
    }
    control.told.push(what);
    const state = { ...control.state, state: TO[what] ?? control.state.state };
    if (what === 'open') {
      Object.assign(state, IDLE, {
        lesson: LESSON,
        seed: told['seed'] ?? LESSON.seed,
        state: 'ready',
        rigs: RIGS,
      });
    }
    if (what === 'speed' || what === 'start') {
      state.speed = told['speed'] as ControlState['speed'];
      state.hurried ||= state.speed !== 1;
    }
    control.state = state;
    return { status: 200, body: state };
  }
}

async function textOf(request: IncomingMessage): Promise<string> {
  let text = '';
  for await (const piece of request) text += piece;
  return text;
}
