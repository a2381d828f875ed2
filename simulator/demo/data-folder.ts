import { closeSync, existsSync, mkdirSync, openSync, readFileSync, rmSync, writeSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { EXIT, ProgramError } from '#core/program/program-error';

/** Who holds a data folder, and how another is asked for. */
export interface FolderOwner {
  /** As in "A demo is already running"; also the name of the lock file. */
  readonly name: string;
  readonly command: string;
}

export const DEMO_FOLDER: FolderOwner = { name: 'demo', command: 'npm start --' };

/** A folder kept between starts. Held by one program at a time through a file with its process id. */
export class DataFolder {
  readonly path: string;
  private readonly owner: FolderOwner;
  private readonly lockPath: string;
  private held = false;

  constructor(path: string, owner: FolderOwner = DEMO_FOLDER) {
    this.path = resolve(path);
    this.owner = owner;
    this.lockPath = join(this.path, `${owner.name}.pid`);
  }

  of(...names: readonly string[]): string {
    return join(this.path, ...names);
  }

  /** Makes the folder where it is missing and takes it. Throws ProgramError. */
  take(): void {
    try {
      makeFolder(this.of('logs'));
      if (!this.createLock()) {
        const other = this.ownerRunning();
        if (other !== null) {
          throw new ProgramError(
            `A ${this.owner.name} is already running on ${this.path} (process ${other}); stop it, or give another folder with --data`,
            EXIT.configuration,
          );
        }
        rmSync(this.lockPath, { force: true });
        this.createLock();
      }
    } catch (error) {
      if (error instanceof ProgramError) throw error;
      throw new ProgramError(
        `The data folder ${this.path} cannot be written (${(error as Error).message}); give another with: ${this.owner.command} --data FOLDER`,
        EXIT.configuration,
      );
    }
    this.held = true;
  }

  release(): void {
    if (this.held) rmSync(this.lockPath, { force: true });
    this.held = false;
  }

  private createLock(): boolean {
    try {
      const file = openSync(this.lockPath, 'wx');
      writeSync(file, `${process.pid}\n`);
      closeSync(file);
      return true;
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
      throw error;
    }
  }

  /** The process that holds the folder, or null when it is gone. */
  private ownerRunning(): number | null {
    const owner = Number(readFileSync(this.lockPath, 'utf8'));
    if (!Number.isInteger(owner) || owner <= 0 || owner === process.pid) return null;
    try {
      process.kill(owner, 0);
      return owner;
    } catch (error) {
      return (error as NodeJS.ErrnoException).code === 'EPERM' ? owner : null;
    }
  }
}

/** Like mkdir -p. Node's own recursive form never returns where the system says ENOENT for a parent that exists. */
function makeFolder(path: string): void {
  try {
    mkdirSync(path);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'EEXIST') return;
    const parent = dirname(path);
    if (code !== 'ENOENT' || parent === path || existsSync(parent)) throw error;
    makeFolder(parent);
    mkdirSync(path);
  }
}
