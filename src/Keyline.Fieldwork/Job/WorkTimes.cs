namespace Keyline.Fieldwork;

/// <summary>Where the hours of a job go, and what they burn.</summary>
/// <remarks>Units: hours, litres. Field efficiency as in ASABE EP496: the time at work over all the time in the field.</remarks>
/// <param name="Ripping">In the ground.</param>
/// <param name="Turning">In turns.</param>
/// <param name="Links">On ways round what lies between, and from and to the gate.</param>
/// <param name="Lifting">Lifting out and letting down.</param>
/// <param name="Refills">Filling up.</param>
/// <param name="Litres">Fuel, by the newer form.</param>
/// <param name="OlderLitres">Fuel, by the older form.</param>
/// <param name="Moving">From the field worked before: on the road, and to make ready for it and for work again.</param>
public sealed record WorkTimes(double Ripping, double Turning, double Links, double Lifting, double Refills, double Litres, double OlderLitres, double Moving = 0)
{
    /// <summary>All hours, the move to the field among them.</summary>
    public double Hours => Ripping + Turning + Links + Lifting + Refills + Moving;

    /// <summary>The share of the hours in the field spent in the ground.</summary>
    public double Efficiency => FieldCapacity.Efficiency(Ripping, Hours - Moving);

    internal static WorkTimes Of(PullEstimate pull, WorkOptions options, double speed, double drawbarNeeded, double length, double turning, double links, double lifting)
    {
        double ripping = length / speed / 3600, busy = ripping + ((turning + links + lifting) / 3600);
        double share = TractivePower.DrawbarShare(pull.Machine.Tractor.Drive, pull.Surface), load = drawbarNeeded / share / pull.PowerTakeOff;
        double turned = (turning + links + lifting) / 3600, road = options.MoveDistance / options.MoveSpeed / 3600;
        return new WorkTimes(
            ripping,
            turning / 3600,
            links / 3600,
            lifting / 3600,
            (busy + road) / (options.HoursADay - options.RefillTime) * options.RefillTime,
            (ripping * FuelUse.LitresAnHour(load, pull.PowerTakeOff)) + ((turned + road) * FuelUse.LitresAnHour(options.TurningLoad, pull.PowerTakeOff)),
            (ripping * FuelUse.OlderLitresAnHour(load, pull.PowerTakeOff)) + ((turned + road) * FuelUse.OlderLitresAnHour(options.TurningLoad, pull.PowerTakeOff)),
            options.MoveDistance > 0 ? road + options.MoveSetup : 0);
    }
}
