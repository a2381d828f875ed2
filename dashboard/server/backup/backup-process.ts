/** A backup made by a process of its own: what it reads and packs holds up no message and no screen. */
import { spawn } from 'node:child_process';
import { setPriority } from 'node:os';

/** Politer than the dashboard, 0 to 19. */
const NICE = 10;

export class BackupProcess {
  /** The built girthlog-dashboard. */
  private readonly program: string;
  private readonly data: string;
  private stopChild: () => void = () => {};

  constructor(program: string, data: string) {
    this.program = program;
    this.data = data;
  }

  /** Rejects with the sentence the program ended with. */
  readonly make = (file: string): Promise<void> =>
    new Promise((resolve, reject) => {
      const args = [this.program, 'backup', file, '--data', this.data, '--json'];
      const child = spawn(process.execPath, args, { stdio: ['ignore', 'ignore', 'pipe'] });
      this.stopChild = () => void child.kill('SIGTERM');
      let said = '';
      child.stderr.setEncoding('utf8').on('data', (text: string) => {
        said = (said + text).slice(-2000);
      });
      child.once('error', reject);
      child.once('spawn', () => {
        try {
          if (child.pid !== undefined) setPriority(child.pid, NICE);
        } catch {
          // It is only a politeness.
        }
      });
      child.once('close', (code, signal) => {
        const last = said.trim().split('\n').at(-1) ?? '';
        const sentence = last.replace(/^girthlog-dashboard: /, '');
        if (code === 0) resolve();
        else reject(new Error(sentence === '' ? `it ended with ${code ?? signal}` : sentence));
      });
    });

  /** Ends one that is being made. */
  stop(): void {
    this.stopChild();
  }
}
