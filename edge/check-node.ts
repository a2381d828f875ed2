/** Imported first: one sentence instead of whatever a too old Node would stumble over. */
import { nodeProblem } from '#core/program/oldest-node';

const problem = nodeProblem(process.versions.node);
if (problem !== null) {
  process.stderr.write(`${problem}\n`);
  process.exit(3);
}
