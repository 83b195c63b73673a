{
  app.screen({ name: "place", title: "Your place" });
}
