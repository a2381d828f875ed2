/** A stand-in for the dashboard server, for browser tests: serves the built page and states from fixtures. */
import { readFile } from 'node:fs/promises';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize } from 'node:path';
import type { NewAssignment, Rig, Samples } from '#core/messages/api';
import type { AlarmPicture } from '#core/messages/api-alarm';
import type { Training } from '#core/messages/api-training';
import {
  liveAt,
  PEOPLE,
  PROCEDURE,
  type RigFixture,
  rigAt,
  ringOf,
  START_UTC_MS,
} from './dashboard-fixtures.ts';
import { afterAction, fakeHistory, fakePicture } from './fake-alarms.ts';

/** The policy the page must live under (no inline script, no inline style, nothing from elsewhere). */
const CSP =
  "default-src 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; form-action 'self'";
const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
};
const TICK_MS = 100;
const TRAINING_OFF: Training = {
  mode: 'off',
  lessons: [],
  control: null,
  controlProblem: null,
  session: null,
};

export interface FakeDashboard {
  readonly url: string;
  /** Everything that was posted, newest last. */
  readonly posted: { readonly path: string; readonly body: unknown }[];
  readonly lastEventIds: (string | undefined)[];
  setRigs: (fixtures: readonly RigFixture[]) => void;
  /** All alarms there are; told to every open page. */
  setAlarms: (picture: AlarmPicture) => void;
  /** Live values of these rigs stop coming; the stream itself goes on. */
  silence: (rigs: readonly string[]) => void;
  send: (name: string, data: unknown) => void;
  /** The next POST is refused with this sentence. */
  refuseNext: (detail: string) => void;
  /** Cuts every stream and refuses new ones until `restore`. */
  cut: () => void;
  restore: () => void;
  stop: () => Promise<void>;
}

/** Record time in µs as digits, or UTC. */
const usOf = (moment: string | null): number =>
  /^\d+$/.test(moment ?? '') ? Number(moment) : (Date.parse(moment ?? '') - START_UTC_MS + 1e6) * 1000;

export async function startFakeDashboard(
  webDir: string,
  first: readonly RigFixture[] = [],
): Promise<FakeDashboard> {
  let fixtures = first;
  let silent: readonly string[] = [];
  let refusal: string | null = null;
  let alarms = fakePicture([]);
  let refusing = false;
  let ticks = 0;
  const streams = new Set<ServerResponse>();
  const posted: FakeDashboard['posted'] = [];
  const lastEventIds: (string | undefined)[] = [];
  const seconds = (): number => (ticks * TICK_MS) / 1000;

  const write = (target: ServerResponse, name: string, data: unknown): void => {
    target.write(`id: ${ticks}\nevent: ${name}\ndata: ${JSON.stringify(data)}\n\n`);
  };
  const send = (name: string, data: unknown): void => {
    for (const stream of streams) write(stream, name, data);
  };
  const rigs = (): Rig[] => fixtures.map(fixture => rigAt(fixture, seconds()));
  const picture = () => ({ serverUtc: new Date(START_UTC_MS + ticks * TICK_MS).toISOString(), rigs: rigs() });

  const timer = setInterval(() => {
    ticks++;
    const live = fixtures
      .filter(({ rig, noLive }) => noLive !== true && !silent.includes(rig))
      .map(fixture => ({ site: 'spread-1', rig: fixture.rig, live: liveAt(fixture, seconds()) }));
    if (live.length > 0) send('live', { thinned: false, rigs: live });
  }, TICK_MS);

  function samples(query: URLSearchParams, rig: string): Samples {
    const fromUs = usOf(query.get('from'));
    const toUs = usOf(query.get('to'));
    const points = Number(query.get('points'));
    const step = (toUs - fromUs) / points;
    const fixture = fixtures.find(one => one.rig === rig);
    // Two seconds in which nothing was recorded, and the newest second not stored yet.
    const gap = { fromUs: 975e6, toUs: 977e6 };
    const tUs = Array.from({ length: points }, (_, i) => Math.round(fromUs + i * step)).filter(
      t => t < toUs - 1e6 && (t < gap.fromUs || t > gap.toUs),
    );
    const channels = (query.get('channels') ?? '').split(',');
    const series = channels.map(channel => {
      const values = tUs.map(t => {
        const live = fixture === undefined ? null : liveAt(fixture, t / 1e6 - 1000).values;
        return live?.[channel as keyof typeof live] ?? 0;
      });
      return {
        channel,
        unit: '',
        tUs,
        min: values.map((value, i) => value * (0.97 + 0.01 * Math.sin(i * 12.9898))),
        max: values.map((value, i) => value * (1.03 + 0.01 * Math.sin(i * 78.233))),
      };
    });
    return {
      site: 'spread-1',
      rig,
      stream: '0123456789abcdef0123456789abcdef',
      utcMinusRecordMs: START_UTC_MS - 1e6,
      fromUs,
      toUs,
      series,
      gaps: gap.fromUs >= fromUs && gap.toUs <= toUs ? [gap] : [],
    };
  }

  async function body(request: IncomingMessage): Promise<unknown> {
    let text = '';
    for await (const chunk of request) text += String(chunk);
    return JSON.parse(text) as unknown;
  }

  function json(response: ServerResponse, data: unknown, status = 200): void {
    const type = status < 400 ? 'application/json' : 'application/problem+json';
    response.writeHead(status, { 'content-type': type, 'content-security-policy': CSP });
    response.end(JSON.stringify(data));
  }

  async function post(request: IncomingMessage, response: ServerResponse, path: string): Promise<void> {
    const data = await body(request);
    if (request.headers['x-girthlog'] !== '1') {
      const detail = 'A request that enters something carries the header x-girthlog: 1.';
      json(
        response,
        { type: 'about:blank', title: 'Refused', status: 403, detail, code: 'headerMissing' },
        403,
      );
      return;
    }
    posted.push({ path, body: data });
    if (refusal !== null) {
      const detail = refusal;
      refusal = null;
      json(response, { type: 'about:blank', title: 'Refused', status: 422, detail, code: 'refused' }, 422);
      return;
    }
    const [, action] = /^\/api\/v1\/alarms\/([a-z-]+)$/.exec(path) ?? [];
    if (action !== undefined) {
      alarms = afterAction(alarms, action, data as Parameters<typeof afterAction>[2]);
      send('alarms', alarms);
      json(response, alarms, 201);
      return;
    }
    if (path === '/api/v1/people') {
      json(response, { id: 'p-new', ...(data as object) }, 201);
      return;
    }
    const { site, rig, author, work } = data as NewAssignment;
    const assignment = { origin: 'simulated', id: 'a-posted', at: new Date(START_UTC_MS).toISOString() };
    fixtures = fixtures.map(fixture =>
      fixture.rig !== rig
        ? fixture
        : { ...fixture, ...(work === null ? { noWork: true } : { noWork: false, ...work }) },
    );
    json(response, { site, rig, assignment: { ...assignment, author, work } }, 201);
  }

  function stream(request: IncomingMessage, response: ServerResponse): void {
    if (refusing) {
      response.writeHead(503).end();
      return;
    }
    lastEventIds.push(request.headers['last-event-id'] as string | undefined);
    response.writeHead(200, { 'content-type': 'text/event-stream', 'cache-control': 'no-store' });
    write(response, 'rigs', picture());
    write(response, 'alarms', alarms);
    streams.add(response);
    response.on('close', () => streams.delete(response));
  }

  async function file(response: ServerResponse, path: string): Promise<void> {
    const name = path === '/' ? 'index.html' : normalize(path).replace(/^(\.\.[/\\])+/, '');
    try {
      const content = await readFile(join(webDir, name));
      response.writeHead(200, {
        'content-type': TYPES[extname(name)] ?? 'application/octet-stream',
        'content-security-policy': CSP,
      });
      response.end(content);
    } catch {
      response.writeHead(404).end();
    }
  }

  async function handle(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const { pathname, searchParams } = new URL(request.url ?? '/', 'http://fake');
    if (request.method === 'POST') return post(request, response, pathname);
    const [, joint] = /^\/api\/v1\/joints\/([^/]+)\/ring$/.exec(pathname) ?? [];
    const [, rig] = /^\/api\/v1\/rigs\/[^/]+\/([^/]+)\/samples$/.exec(pathname) ?? [];
    if (pathname === '/api/v1/stream') stream(request, response);
    else if (pathname === '/api/v1/alarms/history') json(response, fakeHistory(alarms));
    else if (pathname === '/api/v1/training') json(response, TRAINING_OFF);
    else if (pathname === '/api/v1/passes') json(response, { passes: [], next: null });
    else if (pathname === '/api/v1/events') json(response, { events: [], next: null });
    else if (pathname === '/api/v1/procedures') {
      const at = new Date(START_UTC_MS).toISOString();
      json(response, { procedures: [{ at, author: 'p-1', procedure: PROCEDURE }] });
    } else if (pathname === '/api/v1/people') json(response, { people: PEOPLE, verified: false });
    else if (joint !== undefined) {
      const name = decodeURIComponent(joint);
      const fixture = fixtures.find(one => (one.joint ?? 'J-0412') === name);
      json(response, ringOf(name, fixture?.pass ?? 'fill 2'));
    } else if (rig !== undefined) json(response, samples(searchParams, rig));
    else await file(response, pathname);
  }

  const server = createServer((request, response) => void handle(request, response));
  await new Promise<void>(resolve => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    posted,
    lastEventIds,
    send,
    setRigs: next => {
      fixtures = next;
      send('rigs', picture());
    },
    setAlarms: next => {
      alarms = next;
      send('alarms', alarms);
    },
    silence: names => {
      silent = names;
    },
    refuseNext: detail => {
      refusal = detail;
    },
    cut: () => {
      refusing = true;
      for (const open of streams) open.destroy();
    },
    restore: () => {
      refusing = false;
    },
    stop: async () => {
      clearInterval(timer);
      server.closeAllConnections();
      await new Promise(resolve => server.close(resolve));
    },
  };
}
