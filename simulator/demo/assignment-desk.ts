import type { NewAssignment } from '#core/messages/api';
import { type DashboardClient, DashboardError } from './dashboard-client.ts';

const RETRY_MS = 1000;

/** Enters assignments at the dashboard; while it does not answer, the newest of each rig waits. */
export class AssignmentDesk {
  private readonly client: DashboardClient;
  private readonly say: (sentence: string) => void;
  private readonly waiting = new Map<string, NewAssignment>();
  private busy = false;
  private complained = false;
  private timer: NodeJS.Timeout | null = null;
  private closed = false;

  constructor(client: DashboardClient, say: (sentence: string) => void) {
    this.client = client;
    this.say = say;
  }

  enter(assignment: NewAssignment): void {
    this.waiting.set(assignment.rig, assignment);
    void this.work();
  }

  close(): void {
    this.closed = true;
    if (this.timer) clearTimeout(this.timer);
  }

  private async work(): Promise<void> {
    if (this.busy || this.closed) return;
    this.busy = true;
    for (const [rig, assignment] of this.waiting) {
      try {
        await this.client.assign(assignment);
        if (this.waiting.get(rig) === assignment) this.waiting.delete(rig);
        this.complained = false;
      } catch (error) {
        this.fail(rig, assignment, error);
      }
    }
    this.busy = false;
    if (this.waiting.size > 0 && !this.closed) {
      this.timer = setTimeout(() => void this.work(), RETRY_MS);
    }
  }

  private fail(rig: string, assignment: NewAssignment, error: unknown): void {
    if (this.closed) return;
    const { work } = assignment;
    const what = `${work?.joint} side ${work?.side} ${work?.pass}`;
    const refused = error instanceof DashboardError && error.status !== null && error.status < 500;
    if (refused) this.waiting.delete(rig);
    if (!refused && this.complained) return;
    this.complained = true;
    const reason = error instanceof Error ? error.message : String(error);
    this.say(`${what} could not be assigned${refused ? '' : ' yet, trying again'}: ${reason}.`);
  }
}
