import { type NewAssignment, type Person, personSchema } from '#core/messages/api';
import { givenCodeSchema } from '#core/messages/api-account';
import {
  assignmentListSchema,
  jointListSchema,
  peopleListSchema,
  procedureListSchema,
} from '#core/messages/api-lists';
import { signInLink } from '#core/messages/sign-in-link';
import type { Procedure } from '#core/procedure/procedure';

/** The dashboard refused or could not be asked. `status` is null when no answer came. */
export class DashboardError extends Error {
  readonly status: number | null;

  constructor(message: string, status: number | null) {
    super(message);
    this.status = status;
  }
}

const PATIENCE_MS = 10_000;

/** The few requests the demo makes, over the same HTTP interface that the screens use. */
export class DashboardClient {
  private readonly base: string;
  private readonly token: string;

  /** `base`: such as http://127.0.0.1:8080. `token`: of a program with rights there. */
  constructor(base: string, token: string) {
    this.base = base.replace(/\/$/, '');
    this.token = token;
  }

  /** The id of the person of this name, entered where missing. */
  async personNamed(name: string, roles: Person['roles'] = ['weldSetter']): Promise<string> {
    const { people } = peopleListSchema.parse(await this.ask('GET', '/api/v1/people'));
    const known = people.find(person => person.name === name);
    if (known) return known.id;
    const added = await this.ask('POST', '/api/v1/people', { name, roles });
    return personSchema.parse(added).id;
  }

  /** The address that signs somebody in as this person, once: for whoever reads it at the terminal. */
  async signInLink(person: string): Promise<string> {
    const given = await this.ask('POST', `/api/v1/accounts/${encodeURIComponent(person)}/link`, {});
    return signInLink(this.base, givenCodeSchema.parse(given).code);
  }

  /** Enters the procedure unless this revision is already there. */
  async ensureProcedure(procedure: Procedure, author: string): Promise<void> {
    const { procedures } = procedureListSchema.parse(await this.ask('GET', '/api/v1/procedures'));
    const known = procedures.some(
      entry => entry.procedure.id === procedure.id && entry.procedure.revision === procedure.revision,
    );
    if (!known) await this.ask('POST', '/api/v1/procedures', { author, procedure });
  }

  /**
   * The names of all simulated and replayed joints in the store, and of those assigned last: a joint whose first pass was
   * cut short may not have reached the store yet.
   */
  async jointNames(): Promise<string[]> {
    const { assignments } = assignmentListSchema.parse(
      await this.ask('GET', '/api/v1/assignments?limit=100'),
    );
    const names = assignments.flatMap(({ assignment }) => assignment.work?.joint ?? []);
    for (const origin of ['simulated', 'replay']) names.push(...(await this.jointsOf(origin)));
    return names;
  }

  private async jointsOf(origin: string): Promise<string[]> {
    const names: string[] = [];
    for (let before = ''; ; ) {
      const page = jointListSchema.parse(
        await this.ask('GET', `/api/v1/joints?origin=${origin}&limit=100${before}`),
      );
      names.push(...page.joints.map(({ joint }) => joint));
      if (page.next === null) return names;
      before = `&before=${encodeURIComponent(page.next)}`;
    }
  }

  async assign(assignment: NewAssignment): Promise<void> {
    await this.ask('POST', '/api/v1/assignments', assignment);
  }

  private async ask(method: 'GET' | 'POST', path: string, body?: unknown): Promise<unknown> {
    const request: RequestInit = {
      method,
      signal: AbortSignal.timeout(PATIENCE_MS),
      headers: {
        authorization: `Bearer ${this.token}`,
        ...(body === undefined ? {} : { 'content-type': 'application/json', 'x-girthlog': '1' }),
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    };
    let response: Response;
    let text: string;
    try {
      response = await fetch(this.base + path, request);
      text = await response.text();
    } catch (error) {
      const cause = (error as Error & { cause?: Error }).cause ?? (error as Error);
      throw new DashboardError(`no answer from the dashboard at ${this.base} (${cause.message})`, null);
    }
    if (!response.ok) {
      throw new DashboardError(
        `the dashboard refused ${method} ${path}: ${detailOf(text) ?? response.status}`,
        response.status,
      );
    }
    return JSON.parse(text);
  }
}

/** The sentence of an RFC 9457 problem, or null. */
function detailOf(text: string): string | null {
  try {
    const { detail } = JSON.parse(text) as { detail?: unknown };
    return typeof detail === 'string' ? detail : null;
  } catch {
    return null;
  }
}
