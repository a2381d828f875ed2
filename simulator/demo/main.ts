#!/usr/bin/env node
import { nodeProblem } from '#core/program/oldest-node';

// A reader that goes away (npm start | head) is no reason to stop.
process.stdout.on('error', () => undefined);

const problem = nodeProblem(process.versions.node);
if (problem !== null) {
  process.stderr.write(`${problem}\n`);
  process.exitCode = 3;
} else {
  const { demoCommand } = await import('./demo-command.ts');
  process.exitCode = await demoCommand(process.argv.slice(2));
}
