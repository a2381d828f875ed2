/** What the routes of alarms do. Each action answers with the whole picture, which every screen gets as well. */
import type { Express } from 'express';
import type { Refusal } from '#core/alarm/alarm-machine';
import type { Right } from '#core/messages/api-account';
import type { AlarmPicture, AlarmPoint } from '#core/messages/api-alarm';
import type { DashboardContext } from '../api/context.ts';
import { ApiProblem } from '../api/problem.ts';
import { serve } from '../api/route.ts';
import { mayDo, rolesFor } from '../auth/who-may.ts';
import { AlarmRefusal } from './alarm-desk.ts';
import { ALARM_ROUTES } from './alarm-routes.ts';

const REFUSALS: Readonly<Record<Refusal, string>> = {
  alarmGone: 'This alarm is over and was answered already: nothing was changed.',
  conditionTrue: 'This is still so: it can be reset when it is over.',
  acknowledgeFirst: 'Acknowledge it first: nobody has yet said that they saw it.',
  shelfInvalid: 'A shelf has a reason and an end within twelve hours.',
  notShelved: 'This is not on the shelf: nothing was changed.',
  notOutOfService: 'This is in service: nothing was changed.',
};

export function addAlarmRoutes(app: Express, { alarms, store }: DashboardContext): void {
  serve(app, ALARM_ROUTES.alarms, () => alarms.picture());
  serve(app, ALARM_ROUTES.alarmHistory, ({ query }) => {
    const { items, next } = store.alarms.history(query);
    return { entries: [...items], next };
  });
  serve(app, ALARM_ROUTES.acknowledgeAlarms, ({ body }) =>
    act(body.author, 'answerAlarm', () =>
      alarms.answer('acknowledge', body.alarms, body.author, body.reason),
    ),
  );
  serve(app, ALARM_ROUTES.resetAlarms, ({ body }) =>
    act(body.author, 'answerAlarm', () => alarms.answer('reset', body.alarms, body.author, body.reason)),
  );
  serve(app, ALARM_ROUTES.shelveAlarm, ({ body }) =>
    act(body.author, 'answerAlarm', () =>
      alarms.shelve(pointOf(body), body.author, body.reason, body.minutes),
    ),
  );
  serve(app, ALARM_ROUTES.unshelveAlarm, ({ body }) =>
    act(body.author, 'answerAlarm', () => alarms.unshelve(pointOf(body), body.author, body.reason)),
  );
  serve(app, ALARM_ROUTES.alarmService, ({ body }) =>
    act(body.author, 'alarmService', () => {
      const { author, reason, inService } = body;
      if (inService) alarms.returnToService(pointOf(body), author, reason);
      else alarms.removeFromService(pointOf(body), author, reason);
    }),
  );

  function act(author: string, what: Right, work: () => void): AlarmPicture {
    const person = store.people().find(({ id }) => id === author);
    if (!person) {
      throw new ApiProblem(
        422,
        'authorUnknown',
        'The author is not among the people here: add the name first.',
      );
    }
    if (!mayDo(person, what)) {
      const roles = rolesFor(what).join(', ');
      throw new ApiProblem(403, 'roleMissing', `${person.name} may not do this: it takes one of ${roles}.`);
    }
    try {
      work();
    } catch (error) {
      if (error instanceof AlarmRefusal) throw new ApiProblem(409, error.code, REFUSALS[error.code]);
      throw error;
    }
    return alarms.picture();
  }
}

const pointOf = ({ site, rig, cause }: AlarmPoint): AlarmPoint => ({ site, rig, cause });
