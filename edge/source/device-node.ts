/** Which device a path leads to now, and whether it still leads to the one that was opened. */
import { statSync } from 'node:fs';

export class DeviceNode {
  private readonly path: string;
  private opened: string | null = null;

  constructor(path: string) {
    this.path = path;
  }

  /** Remembers the device that the path leads to now. */
  markOpened(): void {
    this.opened = this.identity();
  }

  markClosed(): void {
    this.opened = null;
  }

  /** False where the path leads nowhere, or no longer to the device that was marked. */
  present(): boolean {
    const now = this.identity();
    return now !== null && (this.opened === null || now === this.opened);
  }

  private identity(): string | null {
    // A by-id name is a link that is gone with the device, or leads to another one after a replug.
    try {
      const { dev, ino, rdev } = statSync(this.path);
      return `${dev}:${ino}:${rdev}`;
    } catch {
      return null;
    }
  }
}
