"""Who can be taught when? A plan of visits that reaches most new people soonest, with a proved gap."""
