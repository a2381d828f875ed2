import { ProgramError } from '#core/program/program-error';
import { ReplayError } from '../../edge/replay/replay-error.ts';
import { ScenarioError } from '../../simulator/scenario/load-scenario.ts';

/** A refusal is one sentence on one line: no stack, and short enough to be read. */
function sentence(error: Error): string {
  if (/\n\s+at /.test(error.message)) throw new Error(`a stack in front of people: ${error.message}`);
  if (error.message.length > 2000)
    throw new Error(`${error.message.length} letters are no sentence: ${error.message.slice(0, 300)}`);
  return 'exitCode' in error ? `refused with exit ${error.exitCode}` : 'refused';
}

const isRefusal = (error: unknown): error is Error =>
  error instanceof ProgramError || error instanceof ReplayError || error instanceof ScenarioError;

/** `read` takes the file; whatever it throws that is not a refusal is a finding. */
export async function tried(read: () => unknown): Promise<string> {
  try {
    await read();
    return 'taken';
  } catch (error) {
    if (isRefusal(error)) return sentence(error);
    throw error;
  }
}
