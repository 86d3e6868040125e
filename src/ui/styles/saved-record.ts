/** A saved reading or blend map: panels in columns, the picture with a line and a button below it. */
import { css } from 'lit';

export const savedRecord = css`
  .columns {
    columns: 340px;
    column-gap: 8px;
  }
  .columns > * {
    margin: 0 0 8px;
    break-inside: avoid;
  }
  .evidence {
    padding: 0;
  }
  .below {
    display: flex;
    align-items: center;
    justify-content: space-between;
    gap: 8px;
    padding: 8px 12px;
  }
  @media print {
    .below button,
    .panel > :is(button, form) {
      display: none;
    }
  }
`;
