import type { Entry, NewEntry } from '#core/journal/entry';
import type { JointRing, NewAssignment, Person, Problem, Samples } from '#core/messages/api';
import type { EntryPage } from '#core/messages/api-journal';
import type { AssignmentEntry, PeopleList, ProcedureEntry } from '#core/messages/api-lists';
import { said } from '../text/said.ts';

/** A request that did not succeed: `problem` is the server's answer, null where it could not be reached. */
export class ApiError extends Error {
  readonly problem: Problem | null;
  constructor(message: string, problem: Problem | null) {
    super(said(message));
    this.problem = problem;
  }
}

/** The server's sentence where it answered, `noServer` where it did not. */
export const failureSentence = (error: unknown, noServer: string): string =>
  error instanceof ApiError && error.message !== '' ? error.message : noServer;

const at = (...parts: string[]): string => `/api/v1/${parts.map(encodeURIComponent).join('/')}`;

interface Asked {
  readonly headers?: Readonly<Record<string, string>>;
  readonly body?: unknown;
}

/** The parts of /api/v1 this page uses. Every failure is an ApiError with one sentence. */
export class ApiClient {
  readonly #fetch: typeof globalThis.fetch;
  /** Asks for a sign-in over the page; true when somebody has signed in. */
  signInAgain: () => Promise<boolean> = async () => false;

  constructor(fetch: typeof globalThis.fetch = globalThis.fetch.bind(globalThis)) {
    this.#fetch = fetch;
  }

  procedures = async (): Promise<readonly ProcedureEntry[]> =>
    (await this.#json<{ procedures: ProcedureEntry[] }>(at('procedures'))).procedures;

  people = async (): Promise<readonly Person[]> => (await this.#json<PeopleList>(at('people'))).people;

  ring = (joint: string): Promise<JointRing> => this.#json(at('joints', joint, 'ring'));

  samples(
    site: string,
    rig: string,
    query: { fromUs: number; toUs: number; points: number; channels: readonly string[] },
  ): Promise<Samples> {
    const params = new URLSearchParams({
      from: String(Math.round(query.fromUs)),
      to: String(Math.round(query.toUs)),
      points: String(query.points),
      channels: query.channels.join(','),
    });
    return this.#json(`${at('rigs', site, rig, 'samples')}?${params}`);
  }

  addPerson = (person: Omit<Person, 'id'>): Promise<Person> => this.#json(at('people'), person);

  assign = (assignment: NewAssignment): Promise<AssignmentEntry> => this.#json(at('assignments'), assignment);

  /** Anything else below /api/v1, by the path parts after it and a query. */
  get = <T>(parts: readonly string[], query: Readonly<Record<string, string>> = {}): Promise<T> => {
    const asked = new URLSearchParams(query).toString();
    return this.#json(`${at(...parts)}${asked === '' ? '' : `?${asked}`}`);
  };

  post = <T>(parts: readonly string[], body: unknown): Promise<T> => this.#json(at(...parts), body);

  /** Entries about a subject (journal/entry.ts), newest first, one page. */
  entries = (query: Readonly<Record<string, string>>): Promise<EntryPage> => this.get(['entries'], query);

  addEntry = (entry: NewEntry): Promise<Entry> => this.post(['entries'], entry);

  /** A request with headers of its own, such as the trainer's key; with a body a POST unless another method is given. */
  ask = <T>(
    parts: readonly string[],
    { headers = {}, body, method }: Asked & { readonly method?: 'DELETE' } = {},
  ): Promise<T> => this.#json(at(...parts), body, headers, method);

  /** What is entered without a session waits for a sign-in and is then sent again: nothing typed is lost. */
  async #json<T>(
    url: string,
    body?: unknown,
    more: Readonly<Record<string, string>> = {},
    method?: 'DELETE',
  ): Promise<T> {
    try {
      return await this.#send<T>(url, body, more, method);
    } catch (error) {
      const code = error instanceof ApiError ? error.problem?.code : undefined;
      const isEntry = body !== undefined || method !== undefined;
      if (!isEntry || (code !== 'signInNeeded' && code !== 'signInAgain')) throw error;
      if (!(await this.signInAgain())) throw error;
      return await this.#send<T>(url, body, more, method);
    }
  }

  async #send<T>(
    url: string,
    body: unknown,
    more: Readonly<Record<string, string>>,
    method?: 'DELETE',
  ): Promise<T> {
    const accept = { Accept: 'application/json', ...more };
    let response: Response;
    try {
      response = await this.#fetch(
        url,
        body === undefined
          ? method === undefined
            ? { headers: accept }
            : { method, headers: { ...accept, 'x-girthlog': '1' } }
          : {
              method: 'POST',
              headers: { 'Content-Type': 'application/json', ...accept, 'x-girthlog': '1' },
              body: JSON.stringify(body),
            },
      );
    } catch {
      throw new ApiError('', null);
    }
    const answer = (await response.json().catch(() => null)) as unknown;
    if (!response.ok) {
      const problem = answer as Problem | null;
      throw new ApiError(problem?.detail ?? `HTTP ${response.status}.`, problem);
    }
    return answer as T;
  }
}
