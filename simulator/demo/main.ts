#!/usr/bin/env node
import { nodeVersionProblem } from './node-version.ts';

// A reader that goes away (npm start | head) is no reason to stop.
process.stdout.on('error', () => undefined);

const problem = nodeVersionProblem(process.versions.node);
if (problem !== null) {
  process.stderr.write(`${problem}\n`);
  process.exitCode = 3;
} else {
  const { demoCommand } = await import('./demo-command.ts');
  process.exitCode = await demoCommand(process.argv.slice(2));
}
