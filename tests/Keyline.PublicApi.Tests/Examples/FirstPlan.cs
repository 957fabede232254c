using Keyline;
using Keyline.Formats;
using Keyline.Layout;

namespace Keyline.PublicApi.Tests.Examples;

internal static class FirstPlan
{
    public static KeylinePlan Make(string demPath, string fieldPath)
    {
        // example: begin
        ElevationSource dem = ElevationReader.Read(demPath);
        FieldArea field = FieldReader.ReadField(fieldPath, dem.Crs);
        LayoutOptions options = new() { Spacing = 3.0, MaximumGrade = 2.0, DesignFall = 0.8 };
        KeylinePlan plan = KeylinePlanner.Design(dem.Grid, field, options);
        foreach (RipLine line in plan.Layout.Lines)
        {
            Console.WriteLine($"{line.Id} beside {line.GuideId}: {line.Measures.Length:F0} m, steepest {line.Measures.MaximumGrade:F1} %");
        }

        // example: end
        return plan;
    }
}
