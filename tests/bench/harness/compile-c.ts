import { execFileSync } from 'node:child_process';
import { join } from 'node:path';

/** The compiled baseline in `scratch`, or null where there is no C compiler. */
export function compileC(source: string, scratch: string, name: string): string | null {
  try {
    execFileSync('gcc', ['--version'], { stdio: 'ignore' });
  } catch {
    return null;
  }
  const program = join(scratch, name);
  execFileSync('gcc', ['-O2', '-Wall', '-Wextra', '-std=gnu11', '-o', program, source, '-lm'], {
    stdio: ['ignore', 'ignore', 'inherit'],
  });
  return program;
}

/** What the compiled baseline prints: one JSON document. */
export function runC<T>(program: string, args: readonly string[]): T {
  return JSON.parse(execFileSync(program, args, { encoding: 'utf8' })) as T;
}

export const NO_COMPILER = 'no C compiler here (apt-get install gcc)';
