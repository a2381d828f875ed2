/**
 * The control interface (shared-core/training/control.ts): HTTP on loopback, a bearer token on every request, bodies of
 * a few kilobytes, problems as problem+json. Requests that change something are done one after the other.
 */
import { createHash, timingSafeEqual } from 'node:crypto';
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import { z } from 'zod';
import {
  type ControlState,
  type Injection,
  injectSchema,
  type LessonList,
  type OpenLesson,
  openLessonSchema,
  type SetSpeed,
  setSpeedSchema,
  type Truth,
} from '#core/training/control';
import { ControlRefusal } from './control-refusal.ts';

/** What the requests do; each throws ControlRefusal. */
export interface ControlDesk {
  lessons(): LessonList;
  state(): ControlState;
  truth(): Truth;
  open(request: OpenLesson): Promise<void>;
  start(request: SetSpeed): Promise<void>;
  freeze(): Promise<void>;
  resume(): Promise<void>;
  speed(request: SetSpeed): Promise<void>;
  inject(request: Injection): Promise<void>;
  end(): Promise<void>;
}

const MOST_BYTES = 8 * 1024;
const HEADERS_PATIENCE_MS = 10_000;
const nothing = z.strictObject({});

type Work = (desk: ControlDesk, body: unknown) => Promise<void>;

function does<S extends z.ZodType>(
  schema: S,
  work: (desk: ControlDesk, body: z.output<S>) => Promise<void>,
): Work {
  return async (desk, body) => {
    const parsed = schema.safeParse(body);
    if (parsed.success) return await work(desk, parsed.data);
    const issue = parsed.error.issues[0]!;
    throw new ControlRefusal(
      422,
      'notAcceptable',
      `${issue.path.join('.') || 'The body'}: ${issue.message}.`,
    );
  };
}

const READS: Record<string, (desk: ControlDesk) => unknown> = {
  '/lessons': desk => desk.lessons(),
  '/state': desk => desk.state(),
  '/truth': desk => desk.truth(),
};

const WORKS: Record<string, Work> = {
  '/open': does(openLessonSchema, (desk, body) => desk.open(body)),
  '/start': does(setSpeedSchema, (desk, body) => desk.start(body)),
  '/freeze': does(nothing, desk => desk.freeze()),
  '/resume': does(nothing, desk => desk.resume()),
  '/speed': does(setSpeedSchema, (desk, body) => desk.speed(body)),
  '/inject': does(injectSchema, (desk, body) => desk.inject(body)),
  '/end': does(nothing, desk => desk.end()),
};

const TITLES: Record<number, string> = {
  400: 'Bad request',
  401: 'Not allowed',
  404: 'Not found',
  405: 'Method not allowed',
  409: 'Conflict',
  413: 'Too large',
  415: 'Unsupported media type',
  422: 'Not acceptable as it stands',
  500: 'Internal error',
  503: 'Not available',
};

export class ControlServer {
  private readonly desk: ControlDesk;
  private readonly tokenHash: Buffer;
  private readonly onError: (error: unknown) => void;
  private server: Server | null = null;
  private queue: Promise<void> = Promise.resolve();

  /** `onError` is told what nobody expected; the asker hears only that it happened. */
  constructor(desk: ControlDesk, token: string, onError: (error: unknown) => void) {
    this.desk = desk;
    this.tokenHash = hashOf(token);
    this.onError = onError;
  }

  /** Listens on 127.0.0.1 and resolves with the address, such as http://127.0.0.1:40123. */
  async start(port: number): Promise<string> {
    const server = createServer((request, response) => void this.answer(request, response));
    server.headersTimeout = HEADERS_PATIENCE_MS;
    server.requestTimeout = HEADERS_PATIENCE_MS;
    this.server = server;
    await new Promise<void>((resolve, reject) => {
      server.once('error', reject);
      server.listen(port, '127.0.0.1', resolve);
    });
    const address = server.address();
    return `http://127.0.0.1:${typeof address === 'object' && address !== null ? address.port : port}`;
  }

  async stop(): Promise<void> {
    const { server } = this;
    if (!server) return;
    this.server = null;
    server.closeAllConnections();
    await new Promise<void>(resolve => server.close(() => resolve()));
  }

  private async answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    try {
      const answered = await this.route(request);
      send(response, 200, 'application/json', answered);
    } catch (error) {
      const refusal =
        error instanceof ControlRefusal
          ? error
          : new ControlRefusal(500, 'internal', 'Something went wrong in the simulator; its log says what.');
      if (refusal !== error) this.onError(error);
      const { status, code, message: detail } = refusal;
      if (status === 401) response.setHeader('www-authenticate', 'Bearer');
      // What was not read of a body that is refused is not waited for.
      if (!request.complete) response.setHeader('connection', 'close');
      const title = TITLES[status] ?? 'Refused';
      send(response, status, 'application/problem+json', {
        type: 'about:blank',
        title,
        status,
        detail,
        code,
      });
    }
  }

  private async route(request: IncomingMessage): Promise<unknown> {
    if (!this.isAllowed(request.headers.authorization)) {
      throw new ControlRefusal(401, 'tokenWrong', 'The token is missing or wrong.');
    }
    const path = (request.url ?? '/').split('?')[0]!;
    const reads = Object.hasOwn(READS, path) ? READS[path] : undefined;
    const work = Object.hasOwn(WORKS, path) ? WORKS[path] : undefined;
    if (!reads && !work) throw new ControlRefusal(404, 'routeUnknown', `There is no ${path.slice(0, 100)}.`);
    const method = reads ? 'GET' : 'POST';
    if (request.method !== method) {
      throw new ControlRefusal(405, 'methodUnknown', `${path} takes ${method} only.`);
    }
    if (reads) return reads(this.desk);
    const body = await bodyOf(request);
    await this.inTurn(() => work!(this.desk, body));
    return this.desk.state();
  }

  private async inTurn(work: () => Promise<void>): Promise<void> {
    const done = this.queue.then(work);
    this.queue = done.catch(() => undefined);
    await done;
  }

  private isAllowed(header: string | undefined): boolean {
    const token = /^Bearer ([\x21-\x7e]{1,200})$/.exec(header ?? '')?.[1] ?? '';
    // Hashes of equal length: neither length nor content of the token shows in the time.
    return timingSafeEqual(hashOf(token), this.tokenHash);
  }
}

const hashOf = (text: string): Buffer => createHash('sha256').update(text).digest();

async function bodyOf(request: IncomingMessage): Promise<unknown> {
  const type = request.headers['content-type'] ?? '';
  const tooLarge = () => new ControlRefusal(413, 'tooLarge', `The body is larger than ${MOST_BYTES} bytes.`);
  if (Number(request.headers['content-length'] ?? 0) > MOST_BYTES) throw tooLarge();
  const parts: Buffer[] = [];
  let size = 0;
  for await (const part of request as AsyncIterable<Buffer>) {
    size += part.length;
    if (size > MOST_BYTES) throw tooLarge();
    parts.push(part);
  }
  if (size === 0) return {};
  if (!/^application\/json\s*(;|$)/i.test(type)) {
    throw new ControlRefusal(415, 'notJson', 'Send application/json.');
  }
  try {
    return JSON.parse(Buffer.concat(parts).toString('utf8'));
  } catch {
    throw new ControlRefusal(400, 'badJson', 'The body is not JSON.');
  }
}

function send(response: ServerResponse, status: number, type: string, body: unknown): void {
  const bytes = Buffer.from(JSON.stringify(body));
  response.writeHead(status, {
    'content-type': type,
    'content-length': bytes.length,
    'cache-control': 'no-store',
    'x-content-type-options': 'nosniff',
  });
  response.end(bytes);
}
