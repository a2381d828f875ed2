/** Asks the simulator: HTTP on loopback with a token. It moves simulated rigs only; of real ones it knows nothing. */
import { z } from 'zod';
import {
  type ControlState,
  controlStateSchema,
  type Injection,
  type LessonList,
  lessonListSchema,
  type OpenLesson,
  type Truth,
  truthSchema,
} from '#core/training/control';
import { ApiProblem } from '../api/problem.ts';

export interface Control {
  readonly lessons: () => Promise<LessonList['lessons']>;
  readonly state: () => Promise<ControlState>;
  readonly truth: () => Promise<Truth>;
  readonly open: (lesson: OpenLesson) => Promise<ControlState>;
  readonly start: (speed: ControlState['speed']) => Promise<ControlState>;
  readonly freeze: () => Promise<ControlState>;
  readonly resume: () => Promise<ControlState>;
  readonly speed: (speed: ControlState['speed']) => Promise<ControlState>;
  readonly inject: (injection: Injection) => Promise<ControlState>;
  readonly end: () => Promise<ControlState>;
}

/** The simulator does not answer, or with something that is no answer. */
export class ControlAway extends ApiProblem {
  constructor(detail: string) {
    super(503, 'controlAway', detail);
  }
}

/** It answered that this cannot be done. */
export class ControlRefused extends ApiProblem {
  constructor(detail: string) {
    super(409, 'controlRefused', detail);
  }
}

/** Longer than a busy simulator takes, shorter than a person waits. */
const TIMEOUT_MS = 4000;

const refusalSchema = z.object({ detail: z.string(), code: z.string().optional() });

export class ControlClient implements Control {
  private readonly url: string;
  private readonly token: string;
  private readonly timeoutMs: number;

  constructor(url: string, token: string, timeoutMs: number = TIMEOUT_MS) {
    this.url = url.replace(/\/$/, '');
    this.token = token;
    this.timeoutMs = timeoutMs;
  }

  lessons = async () => (await this.ask('lessons', lessonListSchema)).lessons;
  state = () => this.ask('state', controlStateSchema);
  truth = () => this.ask('truth', truthSchema);
  open = (lesson: OpenLesson) => this.tell('open', lesson);
  start = (speed: ControlState['speed']) => this.tell('start', { speed });
  freeze = () => this.tell('freeze', {});
  resume = () => this.tell('resume', {});
  speed = (speed: ControlState['speed']) => this.tell('speed', { speed });
  inject = (injection: Injection) => this.tell('inject', injection);
  end = () => this.tell('end', {});

  private tell(what: string, body: unknown): Promise<ControlState> {
    return this.ask(what, controlStateSchema, body);
  }

  private async ask<S extends z.ZodType>(what: string, schema: S, body?: unknown): Promise<z.infer<S>> {
    let status: number;
    let text: string;
    try {
      const response = await fetch(`${this.url}/${what}`, {
        method: body === undefined ? 'GET' : 'POST',
        headers: { authorization: `Bearer ${this.token}`, 'content-type': 'application/json' },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
        redirect: 'error',
        signal: AbortSignal.timeout(this.timeoutMs),
      });
      status = response.status;
      text = await response.text();
    } catch (error) {
      const late = (error as Error).name === 'TimeoutError';
      throw new ControlAway(
        late
          ? `The simulator does not answer within ${this.timeoutMs / 1000} s: see whether it still runs.`
          : 'The simulator cannot be reached: see whether it runs (girthlog-simulator train).',
      );
    }
    const json = parsed(text);
    if (status === 401) {
      throw new ControlAway('The simulator does not know this dashboard: both need the same token.');
    }
    if (status >= 400 && status < 500) {
      const refusal = refusalSchema.safeParse(json);
      throw new ControlRefused(
        refusal.success ? refusal.data.detail : `The simulator refused this (${status}).`,
      );
    }
    const answer = schema.safeParse(json);
    if (status >= 500 || !answer.success) {
      throw new ControlAway(
        `The simulator's answer to ${what} cannot be read (${status}): do both have one version?`,
      );
    }
    return answer.data;
  }
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
