import type { BenchRoute } from '../../routes.ts';
import { CostPage } from './cost.tsx';
import { BenchFrontPage } from './front.tsx';
import { LotPageView } from './lot.tsx';
import { OrderPageView } from './order.tsx';
import { useScanner } from './scanning.tsx';
import { UnitPageView } from './unit.tsx';
import './bench.css';
import './unit.css';
import './tables.css';
import './market.css';
import './places.css';

/** The page of the bench that the address names; a scanner is heard on each of them. */
export function BenchPages({ at }: { readonly at: BenchRoute }) {
  useScanner();
  switch (at.page) {
    case 'bench':
      return <BenchFrontPage batch={at.batch} part={at.part ?? 'units'} />;
    case 'unit':
      return <UnitPageView key={at.serial} serial={at.serial} />;
    case 'cost':
      return <CostPage key={at.batch} {...(at.batch === undefined ? {} : { batch: at.batch })} />;
    case 'order':
      return <OrderPageView key={at.order} order={at.order} />;
    case 'lot':
      return <LotPageView key={at.lot} lot={at.lot} />;
  }
}
