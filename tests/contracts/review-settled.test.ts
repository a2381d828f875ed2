/** What a review says of the samples of a pass is the same however they lie in the store. */
import { expect, it } from 'vitest';
import { recordBodySchema } from '#core/messages/record';
import { fromBase64 } from '#core/sample/base64';
import { decodeChunk } from '#core/sample/codec';
import { REVIEW_ROUTES } from '../../dashboard/server/api/review-routes.ts';
import { answer } from '../support/http-answers.ts';
import { startTestDashboard } from '../support/test-dashboard.ts';
import { addWelded, WELDED_STREAM, weldedJoint } from '../support/welded-joint.ts';

const JOINT = 'J-0042';
const SHORT = { lengthMm: 40 };

it('a review counts the samples of a pass alone, before and after they settle together with those of the next', async () => {
  const dashboard = await startTestDashboard();
  const messages = await addWelded(dashboard, JOINT, SHORT);
  const review = async () =>
    await answer(REVIEW_ROUTES.jointReview, await dashboard.get(`/api/v1/joints/${JOINT}/review`));
  const kinds = (): string[] => {
    const range = { kind: 'record', fromUs: 0, toUs: messages.at(-1)!.endUs, stream: WELDED_STREAM } as const;
    const span = dashboard.store.sampleSpan({ site: 'spread-1', rig: 'rig-a' }, range);
    return [...new Set(span!.chunks.map(({ kind }) => kind))];
  };
  // Counted here in the records as an edge sent them.
  const times = weldedJoint(JOINT, SHORT).records.flatMap(({ body }) => {
    const { samples } = recordBodySchema.parse(JSON.parse(body));
    return [...decodeChunk(fromBase64(samples!.data)).tUs];
  });
  const within = messages.map(({ startUs, endUs }) => times.filter(t => t >= startUs && t <= endUs).length);
  expect(kinds()).toEqual(['batch']);
  const before = await review();
  expect(before.passes.map(({ quality }) => quality.samples)).toEqual(within);
  while (dashboard.store.settling.step(Date.now() + 86_400_000));
  expect(kinds()).toEqual(['stretch']);
  expect(await review()).toEqual(before);
});
