export { CardsService, type BenchCard } from './cards.service.ts';
export { cardsRoutes } from './cards.routes.ts';
