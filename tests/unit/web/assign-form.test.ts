import { describe, expect, it } from 'vitest';
import { newAssignmentSchema } from '#core/messages/api';
import { typedNumber } from '../../../dashboard/web/text/typed-number.ts';
import {
  type AssignForm,
  assignmentOf,
  chosenProcedure,
  missingFields,
} from '../../../dashboard/web/views/assign/assign-form.ts';
import { PEOPLE, PROCEDURE } from '../../support/dashboard-fixtures.ts';

const whole: AssignForm = {
  procedure: 'example-610@1',
  joint: '  J-0412 ',
  side: 'B',
  pass: 'hot',
  who: 'p-1',
  newName: '',
  outsideDiameter: '609,6',
  start: '-15',
};
const entries = [{ at: '2026-05-12T14:03:00.000Z', author: 'p-1', procedure: PROCEDURE }];

describe('the form that assigns work', () => {
  it('becomes a body the server’s own schema accepts', () => {
    const procedure = chosenProcedure(whole, entries);
    expect(procedure).not.toBeNull();
    expect(missingFields(whole, procedure, PEOPLE)).toEqual([]);
    const body = assignmentOf(whole, procedure!, { site: 'spread-1', rig: 'rig-1' }, 'p-1');
    expect(newAssignmentSchema.parse(body)).toEqual(body);
    expect(body.work).toMatchObject({ joint: 'J-0412', outsideDiameterMm: 609.6, startDegrees: -15 });
  });

  it('names what is missing, in the order of the page', () => {
    const empty = {
      ...whole,
      procedure: '',
      joint: ' ',
      side: '',
      who: '',
      outsideDiameter: '0',
      start: 'x',
    } as const;
    expect(missingFields(empty, null, PEOPLE)).toEqual([
      'procedure',
      'joint',
      'side',
      'pass',
      'who',
      'outsideDiameter',
      'start',
    ]);
    expect(missingFields({ ...whole, pass: 'fill 9' }, PROCEDURE, PEOPLE)).toEqual(['pass']);
    expect(missingFields({ ...whole, who: 'new' }, PROCEDURE, PEOPLE)).toEqual(['who']);
  });

  it('reads numbers as people type them', () => {
    expect(['610', ' 609,6', '1e3', '0x10', '', '-90.'].map(typedNumber)).toEqual([
      610,
      609.6,
      null,
      null,
      null,
      -90,
    ]);
  });
});
