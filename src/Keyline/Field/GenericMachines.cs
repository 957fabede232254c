namespace Keyline.Field;

/// <summary>A few machines by size and class, for whoever has no profile of his own yet.</summary>
/// <remarks>
/// <para>Units: as <see cref="Machine"/>. Cost: none. Source: sizes and masses are common practice, no source; they are no
/// product's, and the radius, the side slope and the lift time of one's own machine come before them.</para>
/// </remarks>
public static class GenericMachines
{
    /// <summary>All of them, the smallest first.</summary>
    public static IReadOnlyList<Machine> All { get; } =
    [
        Make("two-wheel-45", 45, DriveClass.TwoWheel, 3200, 2.0, 3.2, 1, 1.5, 0.45, 5.0, 6.0),
        Make("front-assist-70", 70, DriveClass.FrontAssist, 5200, 2.2, 3.7, 2, 0.6, 0.5, 5.5, 8.0),
        Make("front-assist-90", 90, DriveClass.FrontAssist, 6500, 2.4, 4.0, 2, 0.7, 0.55, 6.0, 8.0),
        Make("front-assist-140", 140, DriveClass.FrontAssist, 9500, 2.55, 4.4, 3, 0.7, 0.6, 6.5, 10.0),
        Make("four-wheel-200", 200, DriveClass.FourWheel, 14500, 3.0, 4.2, 5, 0.7, 0.6, 7.5, 12.0),
        Make("track-200", 200, DriveClass.Track, 16000, 3.0, 3.6, 5, 0.7, 0.6, 6.0, 12.0),
    ];

    /// <summary>One of them by its name, or null.</summary>
    /// <param name="name">As "front-assist-90".</param>
    public static Machine? Named(string name) => All.FirstOrDefault(m => m.Name == name);

    private static Machine Make(string name, double power, DriveClass drive, double mass, double width, double front, int shanks, double spacing, double depth, double lifted, double inGround) => new()
    {
        Name = name,
        Tractor = new Tractor { Power = power, Drive = drive, Mass = mass, Width = width, FrontLength = front },
        Implement = new Implement { Shanks = shanks, ShankSpacing = spacing, Depth = depth, RadiusLifted = lifted, RadiusInGround = inGround },
    };
}
