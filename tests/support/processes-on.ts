import { execFileSync } from 'node:child_process';
import { onTestFinished } from 'vitest';

/** Processes whose command line names this folder: none may outlive the program that works in it. */
export function processesOn(folder: string): string[] {
  const table = execFileSync('ps', ['-eo', 'pid,args'], { encoding: 'utf8' });
  return table.split('\n').filter(line => line.includes(folder) && !line.includes(' ps '));
}

/** Also where the running test fails, nothing of it works in this folder afterwards. */
export function endsWithTest(folder: string): void {
  onTestFinished(() => {
    for (const line of processesOn(folder)) {
      try {
        process.kill(Number(line.trim().split(' ')[0]), 'SIGKILL');
      } catch {
        // Gone meanwhile.
      }
    }
  });
}
