/** The HTTP API of the built dashboard: requests made of its own document, spoilt; the program must go on as before. */
import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { request } from 'node:http';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { connectAsync } from 'mqtt';
import { AS_PROGRAM, PROGRAM_ENV } from '../../support/program-token.ts';
import { EXAMPLE_PROCEDURE, testChain, testEvent, testPass } from '../../support/test-records.ts';
import { type HttpAnswer, requireDecent } from '../http-answer.ts';
import { type HttpCase, type KnownNames, operationsOf, requestOf } from '../http-request.ts';
import type { FuzzTarget } from '../target.ts';

/** Resident memory a dashboard may hold more at the end: what V8 takes before it collects, which a run ten times as long does not exceed. */
const MOST_GROWTH_MB = 150;
const WARM_CASES = 300;
/** Without a word for so long a request hangs. */
const ANSWER_MS = 30_000;

export const httpTarget: FuzzTarget = {
  name: 'HTTP API, from its OpenAPI document',
  cases: 'requests',
  wholeRun: 20_000,
  open: async scratch => {
    const dashboard = await startProgram(join(scratch, 'data'));
    const known = await filled(dashboard);
    const document = JSON.parse((await dashboard.ask({ method: 'GET', path: '/openapi.json' })).text);
    const operations = operationsOf(document);
    let warmMb: number | null = null;
    let tried = 0;
    return {
      tryOne: async dice => {
        const one = requestOf(dice, document, operations, known);
        const answer = await dashboard.ask(one);
        try {
          requireDecent(one.operation, answer);
        } catch (error) {
          throw new Error(
            `${one.method} ${one.path} ${one.body?.slice(0, 500) ?? ''}: ${(error as Error).message}`,
          );
        }
        if (++tried === WARM_CASES) warmMb = dashboard.residentMb();
        return `${answer.status}`;
      },
      stillWorks: async () => {
        const rigs = await dashboard.ask({ method: 'GET', path: '/api/v1/rigs' });
        if (rigs.status !== 200 || !rigs.text.includes('rig-a')) throw new Error(`rigs: ${rigs.status}`);
        const joint = await dashboard.ask({ method: 'GET', path: '/api/v1/joints/J-0001?origin=simulated' });
        if (joint.status !== 200) throw new Error(`the joint: ${joint.status}`);
        const growthMb = warmMb === null ? 0 : dashboard.residentMb() - warmMb;
        if (growthMb > MOST_GROWTH_MB) throw new Error(`the dashboard holds ${growthMb.toFixed(0)} MB more`);
      },
      close: () => dashboard.stop(),
    };
  },
};

interface Running {
  readonly mqtt: string;
  readonly ask: (one: Pick<HttpCase, 'method' | 'path'> & Partial<HttpCase>) => Promise<HttpAnswer>;
  readonly residentMb: () => number;
  readonly stop: () => Promise<void>;
}

async function startProgram(data: string): Promise<Running> {
  const child = spawn(
    process.execPath,
    [
      join(builtPrograms(), 'girthlog-dashboard.js'),
      ...['run', '--data', data, '--http', '127.0.0.1:0', '--mqtt', '127.0.0.1:0', '--json'],
      ...['--log-level', 'silent', '--open-reading', 'machine'],
    ],
    { stdio: ['ignore', 'pipe', 'inherit'], env: { ...process.env, ...PROGRAM_ENV } },
  );
  const line = await firstLine(child);
  const { http, mqtt } = JSON.parse(line) as { http: string; mqtt: string };
  return {
    mqtt,
    ask: one => ask(http, one),
    residentMb: () => {
      const [, kb] = /VmRSS:\s+(\d+) kB/.exec(readFileSync(`/proc/${child.pid}/status`, 'utf8')) ?? [];
      return Number(kb) / 1024;
    },
    stop: async () => {
      const ended = new Promise(resolve => child.once('exit', resolve));
      child.kill('SIGTERM');
      await ended;
    },
  };
}

/** Beside this file's bundle, or where tests look. */
function builtPrograms(): string {
  const here = dirname(fileURLToPath(import.meta.url));
  const beside = existsSync(join(here, 'girthlog-dashboard.js'));
  return beside ? here : (process.env['GIRTHLOG_DIST'] ?? join(here, '..', '..', '..', 'dist'));
}

function firstLine(child: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let said = '';
    child.stdout!.setEncoding('utf8').on('data', (text: string) => {
      said += text;
      const end = said.indexOf('\n');
      if (end >= 0) resolve(said.slice(0, end));
    });
    child.once('exit', code => reject(new Error(`the dashboard ended with ${code}`)));
  });
}

/** By node:http, which sends any header; a connection of its own, so that a spoilt request spoils no other. */
function ask(
  base: string,
  { method, path, headers, body }: Pick<HttpCase, 'method' | 'path'> & Partial<HttpCase>,
): Promise<HttpAnswer> {
  const { hostname, port } = new URL(base);
  return new Promise((resolve, reject) => {
    const length =
      body === null || body === undefined ? {} : { 'content-length': String(Buffer.byteLength(body)) };
    let answered = false;
    const sent = request(
      {
        hostname,
        port,
        method,
        path,
        headers: {
          'content-type': 'application/json',
          'x-girthlog': '1',
          ...AS_PROGRAM,
          ...length,
          ...headers,
        },
      },
      response => {
        answered = true;
        const parts: Buffer[] = [];
        const answer = (): void =>
          resolve({
            status: response.statusCode!,
            headers: new Headers(response.headersDistinct as never),
            text: Buffer.concat(parts).toString('utf8'),
          });
        // The live stream has no end.
        if (response.headers['content-type']?.startsWith('text/event-stream')) {
          answer();
          sent.destroy();
          return;
        }
        response.on('data', (part: Buffer) => parts.push(part));
        response.on('error', reject);
        response.on('end', answer);
      },
    );
    sent.setTimeout(ANSWER_MS, () => sent.destroy(new Error(`no answer in ${ANSWER_MS} ms`)));
    // An answer may come before the whole body has gone out: the rest is refused, which is no failure.
    sent.on('error', error => {
      if (!answered) reject(error);
    });
    sent.end(body ?? undefined);
  });
}

/** A person, a procedure, and a joint welded by a rig: what requests can find. */
async function filled(dashboard: Running): Promise<KnownNames> {
  const post = async (path: string, body: unknown): Promise<{ id: string }> => {
    const answer = await dashboard.ask({ method: 'POST', path, body: JSON.stringify(body) });
    if (answer.status !== 201) throw new Error(`${path}: ${answer.status} ${answer.text}`);
    return JSON.parse(answer.text) as { id: string };
  };
  const person = await post('/api/v1/people', { name: 'A. Example', roles: ['inspector'] });
  await post('/api/v1/procedures', { author: person.id, procedure: EXAMPLE_PROCEDURE });
  // Heard only once the dashboard has subscribed; an edge would send again, a test's client does not.
  for (let ready = false; !ready; ) {
    ready = (await dashboard.ask({ method: 'GET', path: '/readyz' })).text.includes('"warnings":[]');
  }
  const client = await connectAsync(dashboard.mqtt);
  for (const record of testChain(5, { events: [testEvent(1)], passes: [testPass(1)] })) {
    await client.publishAsync('girthlog/1/spread-1/rig-a/record', JSON.stringify(record), { qos: 1 });
  }
  const passId = testPass(1).passId;
  for (let status = 0; status !== 200; ) {
    ({ status } = await dashboard.ask({ method: 'GET', path: `/api/v1/passes/${passId}` }));
  }
  await client.endAsync();
  return {
    ...{ site: 'spread-1', rig: 'rig-a', joint: 'J-0001', origin: 'simulated', passId },
    ...{ person: person.id, author: person.id, id: 'example-610' },
  };
}
