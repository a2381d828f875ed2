/** What the routes of machine-routes.ts do. */
import type { Express } from 'express';
import type { EnrolmentAnswer } from '#core/messages/enrolment';
import { keyIdOf } from '#core/record/seal-verify';
import type { DashboardContext } from '../api/context.ts';
import { ApiProblem } from '../api/problem.ts';
import { serve } from '../api/route.ts';
import { actorName } from '../auth/actor.ts';
import { GuessDelay } from '../auth/guess-delay.ts';
import { nodeSealCrypto } from '../ingest/node-seal-crypto.ts';
import { EnrolmentRefused } from './enrolment-refused.ts';
import { ENROLMENT_PROBLEMS, MACHINE_ROUTES as ROUTES } from './machine-routes.ts';

/** Wrong codes of one address that cost nothing: somebody mistypes. */
const FREE_TRIES = 2;

export function addMachineRoutes(app: Express, context: DashboardContext): void {
  const { machines, store, now, access } = context;
  const delay = new GuessDelay(machines.monotonicMs);

  serve(app, ROUTES.machines, () => ({ machines: machines.desk.machines() }));

  serve(app, ROUTES.enrol, async ({ body, asker }) => {
    let answer: EnrolmentAnswer | null = null;
    const outcome = await delay.try([{ key: asker.address, free: FREE_TRIES }], async () => {
      try {
        const terms = await machines.terms();
        answer = await machines.desk.enrol(body, terms, (rig, publicKey, by) => {
          const keyId = keyIdOf(publicKey, nodeSealCrypto);
          store.seals.enrol(rig, { keyId, publicKey }, { at: now().toISOString(), by });
          context.onSealKeyDecided();
          access.audit.write('machineEnrolled', asker, { by, detail: `${rig.site}/${rig.rig}` });
        });
        return true;
      } catch (error) {
        if (!(error instanceof EnrolmentRefused)) throw error;
        if (error.problem === 'proofWrong') {
          throw new ApiProblem(
            ENROLMENT_PROBLEMS.proofWrong,
            'proofWrong',
            'The board has not shown that both keys are its own.',
          );
        }
        return false;
      }
    });
    if (answer) return answer;
    if (typeof outcome === 'object') {
      throw new ApiProblem(
        ENROLMENT_PROBLEMS.codeWait,
        'codeWait',
        `After wrong codes the next try waits: again in ${outcome.waitS} s.`,
      );
    }
    throw new ApiProblem(
      ENROLMENT_PROBLEMS.codeWrong,
      'codeWrong',
      `That is no code that enrols ${body.site}/${body.rig} now: it works once, for 15 minutes, for one rig. Make a new one at the truck.`,
    );
  });

  serve(app, ROUTES.makeMachineCode, async ({ params, asker }) => {
    access.audit.write('machineCodeGiven', asker, { detail: `${params.site}/${params.rig}` });
    const { code, endsAt } = machines.desk.makeCode(params, actorName(asker.actor) ?? 'somebody');
    return { code, endsAt, fingerprint: await machines.fingerprint() };
  });

  serve(app, ROUTES.revokeMachine, ({ params, body: { reason }, asker }) => {
    if (machines.desk.revoke(params, actorName(asker.actor) ?? 'somebody', reason)) {
      access.audit.write('machineRevoked', asker, { detail: `${params.site}/${params.rig}: ${reason}` });
      return { machines: machines.desk.machines() };
    }
    throw new ApiProblem(
      404,
      'machineUnknown',
      `No machine of ${params.site}/${params.rig} may connect: there is nothing to revoke.`,
    );
  });
}
