using Keyline.Drainage;
using Keyline.Elevation;

namespace Keyline.PublicApi.Tests.Examples;

/// <summary>The example of docs/terrain.md.</summary>
internal static class FirstFlow
{
    public static (Grid<double> Area, IReadOnlyList<Depression> Dams) Make(ElevationGrid ground)
    {
        // example: begin
        ElevationGrid filled = DepressionFilling.Fill(ground);
        D8Directions directions = D8Directions.Route(filled);
        Grid<double> area = FlowAccumulation.Compute(directions);
        IReadOnlyList<Depression> dams = Depressions.Find(ground, filled, leastDepth: 0.3);
        // example: end
        return (area, dams);
    }
}
