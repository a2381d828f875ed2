import { execFileSync } from 'node:child_process';

/** Processes whose command line names this folder: none may outlive the program that works in it. */
export function processesOn(folder: string): string[] {
  const table = execFileSync('ps', ['-eo', 'pid,args'], { encoding: 'utf8' });
  return table.split('\n').filter(line => line.includes(folder) && !line.includes(' ps '));
}
